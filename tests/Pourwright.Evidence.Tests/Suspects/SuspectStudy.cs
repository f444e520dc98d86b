using Pourwright.Evidence.Suspects;

namespace Pourwright.Evidence.Tests.Suspects;

/// <summary>What is studied: a cause, the rate of defects where it acts, and how many pieces there are.</summary>
/// <param name="Nuisances">Other things double the odds besides, each of which is no false alarm.</param>
/// <param name="EvidenceAccuracy">Of the cure engine, 0.5 to 1; null without physical evidence.</param>
internal sealed record StudyCell(Planted Planted, double Rate, int Pieces, bool Nuisances, double? EvidenceAccuracy = null);

/// <summary>How often, over the runs of a cell; counts of runs.</summary>
/// <param name="First">The truth stood first, called out or not.</param>
/// <param name="FirstGroup">It stood first, or could not be told apart from what stood first.</param>
/// <param name="Hit">It was called out, or could not be told apart from what was.</param>
/// <param name="FalseBlame">Something was called out that has no effect and goes with nothing that has.</param>
/// <param name="FalseName">Something without an effect was named, be it as not to be told apart from the truth.</param>
/// <param name="FalseStrong">Something without an effect was called strong.</param>
internal readonly record struct StudyOutcome(int Runs, int First, int FirstGroup, int Hit, int FalseBlame, int FalseName, int Strong, int FalseStrong)
{
    public double Share(Func<StudyOutcome, int> of) => (double)of(this) / Runs;

    /// <summary>Two standard errors of a share of 0.05 over these runs.</summary>
    public double TwoErrorsAt(double share) => 2 * Math.Sqrt(share * (1 - share) / Runs);

    public static StudyOutcome operator +(StudyOutcome a, StudyOutcome b) => new(
        a.Runs + b.Runs, a.First + b.First, a.FirstGroup + b.FirstGroup, a.Hit + b.Hit, a.FalseBlame + b.FalseBlame,
        a.FalseName + b.FalseName, a.Strong + b.Strong, a.FalseStrong + b.FalseStrong);
}

/// <summary>Rankings of invented studios against their known truth; seeds 1 to the number of runs.</summary>
internal static class SuspectStudy
{
    public static StudyOutcome Of(StudyCell cell, int runs, RankingTerms? terms = null) => ParallelEnumerable.Range(1, runs)
        .Select(seed => Run(cell, seed, terms)).Aggregate((a, b) => a + b);

    private static StudyOutcome Run(StudyCell cell, int seed, RankingTerms? terms)
    {
        var studio = PlantedStudio.Draw(seed, cell.Pieces, cell.Planted, cell.Rate, cell.Nuisances);
        var evidence = cell.EvidenceAccuracy is { } accuracy ? studio.Evidence(accuracy) : [];
        var ranking = RankSuspects.Of(studio.Pieces, evidence, terms);
        var (first, called) = (ranking.Suspects[0], ranking.CalledOut.ToArray());
        bool IsTruth(SuspectLevel level) => studio.Truth is { } truth && (level.Factor, level.Level) == truth;
        bool IsReal(SuspectLevel level) => studio.Real.Contains((level.Factor, level.Level));
        return new(
            1, One(IsTruth(first.Level)), One(Names(first).Any(IsTruth)), One(called.SelectMany(Names).Any(IsTruth)),
            One(called.Any(s => !Names(s).Any(IsReal))), One(called.SelectMany(Names).Any(level => !IsReal(level))),
            One(called.Any(s => s.Grade == Grade.Strong)), One(called.Any(s => s.Grade == Grade.Strong && !IsReal(s.Level))));
    }

    private static IEnumerable<SuspectLevel> Names(Suspect suspect) => [suspect.Level, .. suspect.Aliases];

    private static int One(bool happened) => happened ? 1 : 0;
}
