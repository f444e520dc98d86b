using System.Globalization;
using Pourwright.Studio.Paper;
using Pourwright.Studio.Storage;
using RungState = Pourwright.V1.PieceReadiness.Types.Rung.Types.State;

namespace Pourwright.Studio.Needs;

/// <summary>What a run sheet says.</summary>
public sealed record RunSheetFacts
{
    public required string Studio { get; init; }

    /// <summary>What people call the class.</summary>
    public required string Class { get; init; }

    public required string Site { get; init; }

    public required TimeZoneInfo Zone { get; init; }

    public required RunDayFacts Day { get; init; }

    public required RunDay Plan { get; init; }
}

/// <summary>The run sheet of a machine day, ready to be printed.</summary>
public static class RunSheet
{
    /// <summary>What hangs at the door.</summary>
    public const string Door = "Past this door: ears, eyes, lungs. Hearing protection, safety glasses and a fitted dust mask for everyone; extraction on.";

    private static readonly string[] Safety =
    [
        "NOT READY stops planing, sawing and sanding alike: dust of part-cured resin irritates and sensitises skin and airways.",
        "Test by touch first, where the piece is thickest, thinnest and coldest: one hard spot proves nothing. Chips, not strings; dust, not pills.",
        "Only people trained on a machine feed it. No gloves, loose sleeves or hair at what turns; no screws, grit or silicone on the faces.",
        "Oily rags lie flat outdoors to dry, or in a closed metal can.",
        "The machine's manual, the safety data sheet, local code and licensed practice decide where they say otherwise.",
    ];

    public static Report Write(RunSheetFacts facts, DateTimeOffset now) => new()
    {
        Kicker = $"{facts.Studio} · run sheet",
        Title = facts.Class,
        Headline = Headline(facts),
        Alarm = facts.Day.Has.Down.Count > 0 || facts.Plan.Rows.Any(row => row.Verdict == RunVerdict.Wait) || facts.Plan.PromisedMs > facts.Day.EndMs,
        Made = $"Printed {At(now.ToUnixMs(), facts.Zone, "ddd d MMM yyyy HH:mm")}",
        MadeTime = now,
        Blocks =
        [
            new Banner(Door),
            .. facts.Day.Has.Down.Count == 0 ? Array.Empty<ReportBlock>() : [new SentencesBlock(facts.Day.Has.Down)],
            .. facts.Plan.Rows.Select((row, i) => Line(row, i + 1, facts)),
            new HeadingBlock("Before the first chip"),
            new SentencesBlock(Safety),
            new WordsBlock("Times hold if nothing takes longer than said; the promise holds on nine days of ten, with pieces in anybody's order and work a fifth "
                + "longer or shorter (common practice, no source)."),
        ],
    };

    private static string Headline(RunSheetFacts facts)
    {
        var counts = string.Join(", ", facts.Plan.Rows.GroupBy(row => row.Verdict).OrderBy(rows => rows.Key).Select(rows => $"{rows.Count()} {Word(rows.Key)}"));
        return $"{At(facts.Day.StartMs, facts.Zone, "ddd d MMM yyyy HH:mm")}, {facts.Site}. {(counts.Length == 0 ? "No piece is recorded for this class." : $"{counts}.")} {Promise(facts)}".TrimEnd();
    }

    private static string Promise(RunSheetFacts facts)
    {
        if (facts.Plan is not { PromisedMs: { } promised, OurOrderMs: { } ours }) return "";
        var late = promised > facts.Day.EndMs ? $" That is after the end of the session, {At(facts.Day.EndMs, facts.Zone, "HH:mm")}: tell people, or leave some for another day." : "";
        return $"We promise {At(promised, facts.Zone, "HH:mm")} (P90); with our order {At(ours, facts.Zone, "HH:mm")}.{late}";
    }

    private static RunLine Line(RunRow row, int number, RunSheetFacts facts) => new(
        row.FirstMs is null ? "–" : $"{number}", row.FirstMs is { } first ? At(first, facts.Zone, "HH:mm") : "not today",
        row.Piece.Label, row.Piece.Maker, row.Verdict, Why(row, facts), Sanding(row, facts));

    private static string Why(RunRow row, RunSheetFacts facts) => (row.Piece.Handle.State, row.Piece.HandleSafeMs) switch
    {
        (RungState.Ready, _) => "Hard by forecast and touch.",
        (RungState.Contradicted, _) => "Soft when last felt, though its forecast is past. Wait, and test by touch again.",
        (RungState.CheckDue, { } safe) => $"Safe since {Safe(safe, facts)}, nobody felt it since. Touch first.",
        (_, null) when row.Piece.Handle.Forecast is null => "Not poured, or not forecast yet.",
        (_, null) => "Never hard in a room so cold: warm it evenly, within the data sheet.",
        (_, { } safe) when row.Verdict == RunVerdict.CheckFirst => $"Not before {Safe(safe, facts)}, and touch first.",
        (_, { } safe) => $"Not before {Safe(safe, facts)}.",
    };

    private static string Sanding(RunRow row, RunSheetFacts facts)
    {
        if (row.FirstMs is null) return "no planing, sawing or sanding";
        if (row.SandMs is { } at) return $"sand from {At(at, facts.Zone, "HH:mm")}{(row.Piece.Sand.State == RungState.Ready ? "" : ", touch first")}";
        return row.Piece.SandSafeMs is { } safe ? $"no sanding before {Safe(safe, facts)}" : "no sanding";
    }

    private static string Safe(long ms, RunSheetFacts facts) => At(ms, facts.Zone, Day(ms, facts.Zone) == Day(facts.Day.StartMs, facts.Zone) ? "HH:mm" : "ddd d MMM HH:mm");

    private static DateOnly Day(long ms, TimeZoneInfo zone) => DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(Instants.FromUnixMs(ms), zone).DateTime);

    /// <summary>A verdict as people say it.</summary>
    internal static string Word(RunVerdict verdict) => verdict switch
    {
        RunVerdict.Go => "GO",
        RunVerdict.CheckFirst => "CHECK FIRST",
        _ => "WAIT",
    };

    private static string At(long ms, TimeZoneInfo zone, string format) =>
        TimeZoneInfo.ConvertTime(Instants.FromUnixMs(ms), zone).ToString(format, CultureInfo.InvariantCulture);
}
