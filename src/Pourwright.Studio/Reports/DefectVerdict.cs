using Pourwright.Evidence.Suspects;
using Pourwright.Studio.Suspects;
using Pourwright.Studio.Trace;
using Pourwright.V1;
using Line = Pourwright.V1.DefectReport.Types.Line;

namespace Pourwright.Studio.Reports;

/// <summary>The answer in two or three sentences: one of three grades, counts on both sides, never how probable guilt is.</summary>
public static class DefectVerdict
{
    public static string Decide(SuspectFinding finding, IReadOnlyList<Line> lines)
    {
        var called = lines.Where(WriteDefect.IsCalled).ToList();
        var shared = called.Where(line => line.Shared).ToList();
        if (called.Count == 0) return Nothing(finding.Ranking);
        return shared.Count == 0
            ? $"Too little to say of this piece: it has nothing of what stands out among the others, which is {TraceWords.List([.. called.Select(Brief)])}."
            : string.Join(" ", ((string[])[First(shared[0].Suspect), Others([.. called.Where(line => line != shared[0])])]).Where(sentence => sentence.Length > 0));
    }

    /// <summary>"24 of 41 pieces with B lot b-7 have this defect, against 13 of 559 others".</summary>
    public static string Counts(V1.Suspect suspect) =>
        $"{suspect.Counts.WithDefectiveCount} of {suspect.Counts.WithCount} pieces with {NameOf(suspect.Level)} have this defect, against {suspect.Counts.WithoutDefectiveCount} of {suspect.Counts.WithoutCount} others";

    public static string NameOf(V1.SuspectLevel level) => $"{NameOf(level.Factor)} {level.Level}";

    public static string NameOf(SuspectFactor factor) => SuspectWords.Of(System.Enum.Parse<Factor>(factor.ToString()));

    public static string Of(V1.Suspect.Types.Grade grade) => grade switch
    {
        V1.Suspect.Types.Grade.Strong => SuspectWords.Of(Grade.Strong),
        V1.Suspect.Types.Grade.Some => SuspectWords.Of(Grade.Some),
        _ => SuspectWords.Of(Grade.TooLittle),
    };

    private static string Nothing(Evidence.Suspects.SuspectRanking ranking) => ranking.CouldTell
        ? $"Too little to say: {ranking.Defective} of {ranking.Pieces} pieces inspected have this defect, and of {ranking.LevelsTested} things compared none stands out. That clears nothing."
        : $"Too little to say: {ranking.Defective} of {ranking.Pieces} pieces inspected have this defect, and with so few no split, however uneven, would stand out.";

    private static string First(V1.Suspect suspect) =>
        $"{TraceWords.Capital(Of(suspect.Grade))}: {Counts(suspect)}. {SuspectWords.Chance(suspect.ChanceRatio)}{Taught(suspect)}";

    private static string Taught(V1.Suspect suspect) => suspect is { HasOtherTaughtCount: true, OtherTaughtCount: > 0 }
        ? $" Of the {suspect.OtherTaughtCount} other pieces of the same instructors {suspect.OtherTaughtDefectiveCount} have it."
        : "";

    private static string Others(IReadOnlyList<Line> others) => others.Count == 0 ? ""
        : $"Beside it, once its pieces are left out: {TraceWords.List([.. others.Select(other => $"{Brief(other)}{(other.Shared ? "" : ", which this piece has nothing of")}")])}.";

    private static string Brief(Line line) =>
        $"{NameOf(line.Suspect.Level)} ({Of(line.Suspect.Grade)}: {Left(line.Suspect.RemainingCounts)})";

    private static string Left(SuspectCounts counts) =>
        $"{counts.WithDefectiveCount} of {counts.WithCount} against {counts.WithoutDefectiveCount} of {counts.WithoutCount}";
}
