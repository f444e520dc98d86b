using System.Globalization;
using Pourwright.Studio.Lots;
using Pourwright.Studio.Names;
using Pourwright.Studio.Paper;
using Pourwright.Studio.Resins;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Needs;

/// <summary>What a mix sheet says.</summary>
public sealed record MixSheetFacts
{
    public required string Studio { get; init; }

    /// <summary>What people call the class.</summary>
    public required string Class { get; init; }

    public required string Site { get; init; }

    public required TimeZoneInfo Zone { get; init; }

    /// <summary>Unix ms; null where the class has no day yet.</summary>
    public required long? PourMs { get; init; }

    public required int Pieces { get; init; }

    public required ClassResin Resin { get; init; }

    /// <summary>One a batch, in h; null where the model cannot say.</summary>
    public required IReadOnlyList<double?> WorkingHours { get; init; }

    /// <summary>What was taken for mix and room.</summary>
    public required MixTerms Terms { get; init; }

    /// <summary>What the class takes, a row a resin system; none where it has no day yet.</summary>
    public required IReadOnlyList<ClassLots> Lots { get; init; }

    /// <summary>What the supplier printed on the cans, by the lot's name.</summary>
    public required IReadOnlyDictionary<string, string> Codes { get; init; }

    /// <summary>What to know.</summary>
    public required IReadOnlyList<Caution> Cautions { get; init; }
}

/// <summary>The mix sheet of a class, ready to be printed.</summary>
public static class MixSheet
{
    private static readonly string[] Safety =
    [
        "Gloves of nitrile or laminate, sleeves and glasses; change gloves as soon as they are wet. Never wash resin off skin with solvent.",
        "Ventilate. Nobody stays in the curing room, and no food or drink in either.",
        "Weigh A and B, never measure them; never add hardener to speed it up. Stir 3 to 5 minutes, scrape sides and bottom, pour into a second clean "
        + "container and stir again (common practice). Do not scrape the first one out.",
        "Leftovers into shallow trays, watched, outdoors: a batch left in its pot can smoke and burn. Do not soak it up with sawdust.",
        "Skin or airways react: leave the resin room and see a doctor.",
        "Data sheet, safety data sheet, local code and licensed practice decide where they say otherwise.",
    ];

    public static Report Write(MixSheetFacts facts, DateTimeOffset now) => new()
    {
        Kicker = $"{facts.Studio} · mix sheet",
        Title = facts.Class,
        Headline = Headline(facts),
        Alarm = facts.Cautions.Count > 0,
        Made = $"Printed {Local(now.ToUnixMs(), facts.Zone)}",
        MadeTime = now,
        Blocks =
        [
            .. facts.Cautions.Count == 0 ? Array.Empty<ReportBlock>() : [new HeadingBlock("First"), new SentencesBlock([.. facts.Cautions.Select(caution => caution.Text)])],
            new Banner("Gloves on, glasses on, fresh air. The data sheet decides."),
            .. Cards(facts),
            new HeadingBlock("Before anyone mixes"),
            new SentencesBlock(Safety),
            new WordsBlock(Basis(facts)),
        ],
    };

    private static string Headline(MixSheetFacts facts)
    {
        var when = facts.PourMs is { } ms ? $"{Local(ms, facts.Zone)}, {facts.Site}." : "No day yet: containers are chosen once it has one.";
        var totals = facts.Resin.Batches.GroupBy(batch => batch.System.Name).Select(batches => (batches.First().System, Parts: facts.Resin.Total(batches.Key)))
            .Select(total => $"{total.System.DisplayName} {Ratio(total.System)}: {Kilograms(total.Parts.AMassMg)} of A and {Kilograms(total.Parts.BMassMg)} of B");
        return $"{when} {Plural(facts.Pieces, "piece")}, {Plural(facts.Resin.Batches.Count, "batch", "batches")}. {string.Join("; ", totals)}.";
    }

    private static IEnumerable<BatchCard> Cards(MixSheetFacts facts)
    {
        var takes = BatchTakes.Of(facts.Resin.Batches, facts.Lots);
        var layers = facts.Resin.Layers.Count;
        return facts.Resin.Batches.Select((batch, i) => new BatchCard(
            $"Batch {i + 1} of {facts.Resin.Batches.Count}", For(batch, layers),
            facts.WorkingHours[i] is { } hours ? $"pour within {Amounts.Span((long)(hours * 3_600_000))}" : "",
            batch, RatioBand.Of(batch.System, batch.Parts.AMassMg), takes[i], facts.Codes));
    }

    private static string For(ResinBatch batch, int layers)
    {
        var pieces = batch.FirstPiece == batch.LastPiece ? $"piece {batch.FirstPiece}" : $"pieces {batch.FirstPiece} {(batch.LastPiece == batch.FirstPiece + 1 ? "and" : "to")} {batch.LastPiece}";
        var layer = batch.Layer == 0 ? "seal coat, " : layers > 1 ? $"layer {batch.Layer}, " : "";
        return $"{layer}{pieces}{(batch.Of > 1 ? $", {batch.Of} batches each" : "")}";
    }

    private static string Ratio(ResinSystemRecord system) =>
        string.Create(CultureInfo.InvariantCulture, $"100:{NeedResin.HardenerPartsByMass(system):0.##} by mass (±{system.RatioTolerancePercent:0.##}\u00A0%)");

    private static string Basis(MixSheetFacts facts) => string.Create(CultureInfo.InvariantCulture,
        $"Losses are in these masses. \"Pour within\" is the cure model's, from the end of stirring, both parts at {facts.Terms.MixCelsius:0.#} °C in a room of "
        + $"{facts.Terms.RoomCelsius:0.#} °C{(facts.Terms.Vessel is null ? ", in a bucket as high as wide and half full" : "")}: warmer or fuller is shorter, and the "
        + $"pot life of the data sheet goes before it. Stop pouring a batch that grows warm.");

    private static string Kilograms(long massMg) => (massMg / 1_000_000m).ToString("0.00 kg", CultureInfo.InvariantCulture);

    private static string Plural(int count, string one, string? many = null) => $"{count} {(count == 1 ? one : many ?? one + "s")}";

    private static string Local(long ms, TimeZoneInfo zone) =>
        TimeZoneInfo.ConvertTime(Instants.FromUnixMs(ms), zone).ToString("ddd d MMM yyyy HH:mm", CultureInfo.InvariantCulture);
}
