using System.Globalization;
using Pourwright.Pages.Words;
using Pourwright.V1;

namespace Pourwright.Pages.Defects;

/// <summary>What defective pieces share, in the words of the page: counts on both sides always, never a share alone, and never how probable guilt is.</summary>
public sealed class DescribeSuspects(SuspectRanking ranking, Manner manner)
{
    /// <summary>More often than that, chance says nothing that one could count.</summary>
    private const double OftenRatio = 0.5;

    private const double LeastChance = 1e-6;

    private readonly Sayings _sayings = new(manner, TimeZoneInfo.Utc);

    public Said Summary => _sayings.Say("Suspects.Summary", new Dictionary<string, string>
    {
        ["defect"] = string.Join(", ", ranking.Kinds.Select(kind => manner[$"Defect.{kind}"])),
        ["defective_count"] = $"{ranking.DefectiveCount}",
        ["piece_count"] = $"{ranking.PieceCount}",
        ["level_count"] = $"{ranking.LevelCount}",
        ["tells"] = ranking.CouldTell ? "yes" : "no",
        ["called"] = string.Join("; ", ranking.Suspects.Where(suspect => suspect.RankCount > 0).Select(suspect => $"{Name(suspect.Level)}: {manner[$"Grade.{suspect.Grade}"]}")),
        ["uninspected_count"] = Some(ranking.UninspectedCount),
    }, ranking.Summary);

    public Said Of(Suspect suspect) => _sayings.Say("Suspects.Text", new Dictionary<string, string>
    {
        ["with_count"] = $"{suspect.Counts.WithCount}",
        ["with_defective_count"] = $"{suspect.Counts.WithDefectiveCount}",
        ["without_count"] = $"{suspect.Counts.WithoutCount}",
        ["without_defective_count"] = $"{suspect.Counts.WithoutDefectiveCount}",
        ["chance_count"] = suspect.ChanceRatio > OftenRatio ? "" : Rounded(1 / Math.Max(suspect.ChanceRatio, LeastChance)),
        ["rank_count"] = Some(suspect.RankCount),
        ["least_rate_percent"] = Percent(suspect.LeastRateRatio),
        ["greatest_rate_percent"] = Percent(suspect.GreatestRateRatio),
        ["remaining_count"] = Equals(suspect.RemainingCounts, suspect.Counts) ? "" : $"{suspect.RemainingCounts.WithCount}",
        ["remaining_defective_count"] = $"{suspect.RemainingCounts.WithDefectiveCount}",
        ["remaining_without_count"] = $"{suspect.RemainingCounts.WithoutCount}",
        ["remaining_without_defective_count"] = $"{suspect.RemainingCounts.WithoutDefectiveCount}",
        ["other_taught_count"] = suspect.HasOtherTaughtCount ? $"{suspect.OtherTaughtCount}" : "",
        ["other_taught_defective_count"] = $"{suspect.OtherTaughtDefectiveCount}",
        ["evidence"] = Some(suspect.EvidenceForCount + suspect.EvidenceAgainstCount),
        ["evidence_for_count"] = $"{suspect.EvidenceForCount}",
        ["evidence_against_count"] = $"{suspect.EvidenceAgainstCount}",
        ["evidence_unknown_count"] = $"{suspect.EvidenceUnknownCount}",
        ["unrecorded_count"] = Some(suspect.UnrecordedCount),
        ["unrecorded_defective_count"] = $"{suspect.UnrecordedDefectiveCount}",
        ["aliases"] = string.Join(", ", suspect.Aliases.Select(Name)),
        ["changing_count"] = Some(suspect.ChangingPieceCount),
    }, suspect.Text);

    /// <summary>Something known of a piece beside the counts.</summary>
    public Said Of(PhysicalStatement statement) => 
        _sayings.Say($"Finding.{statement.Statement?.Kind}", statement.Statement?.Facts ?? [], statement.Reason);

    public string Name(SuspectLevel level) => $"{manner[$"Factor.{level.Factor}"]} {level.Level}";

    private static string Some(int count) => count == 0 ? "" : $"{count}";

    private static string Percent(double ratio) => (100 * ratio).ToString("0", CultureInfo.InvariantCulture);

    /// <summary>Two figures are as many as anyone should believe.</summary>
    private string Rounded(double times)
    {
        var unit = Math.Pow(10, Math.Max(0, Math.Floor(Math.Log10(times)) - 1));
        return manner.Number(Math.Round(times / unit) * unit, "#,0");
    }
}
