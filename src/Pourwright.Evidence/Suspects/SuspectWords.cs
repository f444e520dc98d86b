using System.Globalization;
using Pourwright.Evidence.Counts;

namespace Pourwright.Evidence.Suspects;

/// <summary>A ranking in words for people who know no statistics.</summary>
/// <remarks>
/// Counts on both sides always, never a share alone; how often chance would do the same; never how probable guilt is, since a p
/// value does not say that; what would change the answer. "Nothing found" is never put as "nothing wrong".
/// </remarks>
/// <param name="defect">What is wrong, as a heading says it: "Soft", "Tacky skin".</param>
public sealed class SuspectWords(SuspectRanking ranking, string defect)
{
    // A test pour wants to be able to clear: chance of so many fine ones, were the rate as low as the interval allows.
    private const double ChanceOfClearingWrongly = 0.05;

    /// <summary>The answer first, then a paragraph a suspect that was called out, or the best of those that were not.</summary>
    public IReadOnlyList<string> Answer() => [Summary(), .. Shown().Select(Of)];

    public string Summary()
    {
        var total = $"{defect}: {ranking.Defective} of {ranking.Pieces} pieces inspected.";
        if (!ranking.CouldTell)
            return $"{total} Too few to say anything: with so few pieces and defects no split, however uneven, would stand out among the {ranking.LevelsTested} things compared.";
        var called = ranking.CalledOut.ToArray();
        return called.Length > 0
            ? $"{total} {ranking.LevelsTested} things were compared, which the grades allow for. {Capital(Listed([.. called.Select(s => $"{Name(s.Level)}: {Of(s.Grade)}")]))}."
            : $"{total} {ranking.LevelsTested} things were compared and none stands out: too little to say. That clears nothing: in invented studios a lot of up to twenty pieces that spoils one in three mostly goes unseen.";
    }

    /// <summary>One suspect: counts, chance, true rate, what is known beside, what it cannot be told from, what would change the answer.</summary>
    public string Of(Suspect suspect) => string.Join(' ', ((string?[])
    [
        $"{Capital(Of(suspect.Grade))}: {Counts(suspect.Counts, Name(suspect.Level))}.",
        Chance(Math.Exp(suspect.LnP)), Expected(suspect),
        $"The true rate behind these {suspect.Counts.With} pieces is probably {Percent(suspect.Rate.Low)} to {Percent(suspect.Rate.High)} %.",
        Left(suspect), Instructors(suspect), .. Confirmations(suspect), Evidence(suspect), Unrecorded(suspect), Aliases(suspect), Change(suspect),
    ]).OfType<string>());

    /// <summary>The test pours that would tell suspects apart whose pieces are nearly the same; empty where there are none.</summary>
    public static IReadOnlyList<string> TestPours(Suspect suspect) => [.. suspect.Aliases.Select(alias =>
        $"{Count(FinePoursThatClear(suspect), "test piece")} with {Name(suspect.Level)} and another {Of(alias.Factor)}, and as many with {Name(alias)} and another {Of(suspect.Level.Factor)}")];

    public static string Of(Grade grade) => grade switch
    {
        Grade.Strong => "strong",
        Grade.Some => "some",
        _ => "too little to say",
    };

    public static string Name(SuspectLevel level) => $"{Of(level.Factor)} {level.Level}";

    public static string Of(Factor factor) => factor switch
    {
        Factor.LotA => "A lot",
        Factor.LotB => "B lot",
        Factor.PigmentLot => "pigment lot",
        Factor.Date => "pour day",
        Factor.Temperature => "room temperature",
        Factor.Humidity => "room humidity",
        Factor.DewPointMargin => "margin above the dew point",
        Factor.RatioDeviation => "deviation from the ratio",
        Factor.Depth => "layer depth",
        Factor.WoodMoisture => "wood moisture",
        Factor.HoursToDemold => "time to demold",
        Factor.ConversionAtDemold => "forecast conversion at demold",
        _ => factor.ToString().ToLowerInvariant(),
    };

    /// <summary>How often chance alone would do it: "about once in 80 times".</summary>
    public static string Chance(double p) => p > 0.5
        ? "Chance alone does as much more often than not."
        : $"By chance alone a split this uneven would turn up {(p < 1e-6 ? "less than once in a million times" : $"about once in {Rounded(1 / p)} times")}.";

    private IEnumerable<Suspect> Shown() => ranking.CalledOut.Any() ? ranking.CalledOut
        : ranking.Suspects.Where(s => s.Counts.DefectiveWith > 0 && s.Counts.RateDifference > 0).Take(1);

    private string Counts(TwoByTwo counts, string with) =>
        $"{counts.DefectiveWith} of {counts.With} pieces with {with} have this defect ({defect.ToLowerInvariant()}), against {counts.DefectiveWithout} of {counts.Without} others";

    // What is once in 36 times for one thing is nothing for the best of a hundred.
    private string? Expected(Suspect suspect) => suspect.Round is not null ? null
        : $"Among {ranking.LevelsTested} things compared one like it turns up by chance often enough.";

    private static string? Left(Suspect suspect)
    {
        var left = suspect.CountsLeft;
        if (left == suspect.Counts)
            return null;
        return left.With == 0
            ? "All its pieces are also those of a suspect named before."
            : $"Without the pieces of the suspects named before it is {left.DefectiveWith} of {left.With} against {left.DefectiveWithout} of {left.Without}.";
    }

    private static string? Instructors(Suspect suspect) => suspect.SameInstructorsOtherPieces switch
    {
        null => null,
        (0, _) => "Its instructors taught no other pieces, so that it cannot be told from how they work.",
        var (pieces, defective) => $"Of the {pieces} other pieces of the same instructors {defective} are defective.",
    };

    private static IEnumerable<string> Confirmations(Suspect suspect) => suspect.Confirmations.GroupBy(c => c.Result)
        .Select(group => $"Compared {Listed([.. group.Select(Where)])}, it {Of(group.Key)}.");

    private static string Where(Confirmation confirmation) => confirmation.Beside is [var only] && !Bands.Measured.Contains(only)
        ? $"inside each {Of(only)}"
        : $"allowing for {Listed([.. confirmation.Beside.Select(Of)])}";

    private static string Of(Confirmed result) => result switch
    {
        Confirmed.Holds => "holds",
        Confirmed.DoesNotHold => "does not hold",
        _ => "can neither be confirmed nor refuted",
    };

    private static string? Evidence(Suspect suspect)
    {
        var (@for, against, unknown) = suspect.Evidence;
        if (@for + against == 0)
            return null;
        var moved = suspect.Round is not null && suspect.AdjustedP > suspect.WeightedP && suspect.AdjustedP > 0.05 ? " The counts alone would not have been enough." : "";
        return $"What is known of its defective pieces beside the counts speaks for it in {@for}, against it in {against}, and is unknown in {unknown}.{moved}";
    }

    private static string? Unrecorded(Suspect suspect) => suspect.Unrecorded.Pieces == 0 ? null
        : $"Not counted, since their {Of(suspect.Level.Factor)} is not on record: {Count(suspect.Unrecorded.Pieces, "piece")}, {suspect.Unrecorded.Defective} of them defective.";

    private static string? Aliases(Suspect suspect) => suspect.Aliases.Count == 0 ? null
        : $"Cannot tell apart: {Listed([Name(suspect.Level), .. suspect.Aliases.Select(Name)])}, since nearly the same pieces have them. "
            + $"This would tell: {string.Join("; ", TestPours(suspect))}; small, inside what the data sheet allows, with the protection that the safety data sheets ask for.";

    private static string? Change(Suspect suspect) => suspect.PiecesThatWouldChangeIt is not { } more ? null
        : suspect.Round is not null
            ? $"What would change our mind: {Count(more, "further piece")} with it, none of them defective, and it would stand out no longer."
            : $"What would change our mind: {Count(more, "further piece")} with it, all of them defective, and it would stand out.";

    // (1 − rate)ⁿ ≤ 0.05 with the lowest rate that the interval allows.
    private static int FinePoursThatClear(Suspect suspect) =>
        (int)Math.Clamp(Math.Ceiling(Math.Log(ChanceOfClearingWrongly) / Math.Log(1 - Math.Max(suspect.Rate.Low, 0.01))), 1, 20);

    // Two figures are as many as anyone should believe.
    private static string Rounded(double times)
    {
        var unit = Math.Pow(10, Math.Max(0, Math.Floor(Math.Log10(times)) - 1));
        return (Math.Round(times / unit) * unit).ToString("#,0", CultureInfo.InvariantCulture);
    }

    private static string Percent(double share) => (100 * share).ToString("0", CultureInfo.InvariantCulture);

    private static string Count(int number, string what) => $"{number} {what}{(number == 1 ? "" : "s")}";

    private static string Listed(IReadOnlyList<string> parts) =>
        parts.Count < 2 ? string.Concat(parts) : $"{string.Join(", ", parts.Take(parts.Count - 1))} and {parts[^1]}";

    private static string Capital(string text) => char.ToUpperInvariant(text[0]) + text[1..];
}
