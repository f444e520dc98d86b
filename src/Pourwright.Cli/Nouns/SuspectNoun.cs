using System.ComponentModel;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console.Cli;
using Spectre.Console.Rendering;
using Bearing = Pourwright.V1.PhysicalStatement.Types.Bearing;
using Grade = Pourwright.V1.Suspect.Types.Grade;
using Grouping = Pourwright.V1.GetSiteWatchRequest.Types.Grouping;
using Kind = Pourwright.V1.Defect.Types.Kind;

namespace Pourwright.Cli.Nouns;

/// <summary><c>pourwright suspect ...</c></summary>
public static class SuspectNoun
{
    private const string KindsHelp = "soft, soft-patches, tacky-skin, low-hardness, bubbles, cracks, cloudy, colour-drift, delamination, "
        + "layer-split, warp, leak, finish or other; repeat for several that count as one";

    private static readonly string[] WatchColumns = ["Group", "Inspected", "Defective", "Usual", ""];

    public static void Register(Noun noun)
    {
        noun.Describe("What defective pieces share: counts on both sides, never a verdict");
        noun.Verb<Rank>("rank", "Ranks what pieces with a kind of defect share", RankAsync, "suspect", "rank", "--kind", "soft", "--from", "2026-02-01");
        noun.Verb<OnePiece>("piece", "What is known of one piece: for, against, unknown", PieceAsync, "suspect", "piece", "piece-7");
        noun.Verb<Watch>("watch", "Whether the defects of a site have become too many, and since which piece", WatchAsync, "suspect", "watch", "--site", "north");
    }

    public static IRenderable Ranking(SuspectRanking ranking, SiteClock clock)
    {
        var called = ranking.Suspects.Where(suspect => suspect.RankCount > 0).ToList();
        var shown = called.Count > 0 ? called : [.. ranking.Suspects.Where(suspect => suspect.Counts.WithDefectiveCount > 0).Take(ranking.CouldTell ? 1 : 0)];
        var others = ranking.Suspects.Except(shown).Where(suspect => suspect.Counts.WithDefectiveCount > 0).Take(8).ToList();
        return Sheets.Stack(
        [
            new Cell(ranking.Summary, Tone.Strong).Render(),
            .. shown.SelectMany(suspect => (IRenderable[])[new Cell("").Render(), new Cell(suspect.Text).Render()]),
            others.Count == 0 ? null : new Cell("\nNot called out, for comparison:").Render(),
            others.Count == 0 ? null : Sheets.Rows("", ["Shared", "With it defective", "Others defective", "Says"], others.Select(Row)),
            new Cell("\nHold the sisters of a bad piece first and argue the cause after. None of this says how probable a cause is.", Tone.Faint).Render(),
        ]);
    }

    public static IRenderable Evidence(PieceEvidence evidence, SiteClock clock) => Sheets.Stack(
    [
        new Cell($"Piece {ResourceNames.Brief(evidence.Piece)}, looked at for {Words.Of(evidence.Kind)}: {Found(evidence)}", Tone.Strong).Render(),
        evidence.Statements.Count == 0
            ? new Cell("Conditions do not tell of this kind of defect.").Render()
            : Sheets.Rows("", ["Speaks", "Of", "Why"], evidence.Statements.OrderBy(said => said.Bearing == Bearing.Unknown).Select(Row)),
        new Cell("").Render(),
        Sheets.Rows("", ["Shared", "Has"], evidence.Levels.Select(level => new Cell[] { Name(level.Factor), Has(level) })),
    ]);

    public static IRenderable Sites(SiteWatch watch, SiteClock clock) => watch.Sites.Count == 0
        ? new Cell("Nobody has inspected a piece yet: nothing can be said.").Render()
        : Sheets.Stack(watch.Sites.SelectMany(site => (IRenderable[])
        [
            new Cell($"{ResourceNames.Brief(site.Site)}: {site.DefectiveCount} of {site.PieceCount} pieces inspected are defective.", Tone.Strong).Render(),
            new Cell(site.SumCount == 0
                ? "No run of defects is under way."
                : $"A run is under way since piece {ResourceNames.Brief(site.FirstPiece)}: {site.SumCount} of {site.LimitCount} points; a defective piece adds 8, a fine one takes 1.",
                site.SumCount == 0 ? Tone.Plain : Tone.Wait).Render(),
            .. site.Alarms.Select(alarm => new Cell($"ALARM {clock.At(alarm.AlarmTime, site.Site)}: {alarm.Text}", Tone.Bad).Render()),
            Sheets.Rows("", WatchColumns, site.Points.Select(Row)),
        ]));

    private static Cell[] Row(Suspect suspect) =>
    [
        $"{Name(suspect.Level.Factor)} {suspect.Level.Level}",
        $"{suspect.Counts.WithDefectiveCount} of {suspect.Counts.WithCount}",
        $"{suspect.Counts.WithoutDefectiveCount} of {suspect.Counts.WithoutCount}",
        suspect.Grade switch { Grade.Strong => "strong", Grade.Some => "some", _ => "too little to say" },
    ];

    private static Cell[] Row(PhysicalStatement said) =>
    [
        said.Bearing switch { Bearing.For => new("FOR", Tone.Bad), Bearing.Against => new("AGAINST", Tone.Good), _ => new("UNKNOWN", Tone.Faint) },
        string.Join(", ", said.Factors.Select(Name)), said.Reason,
    ];

    private static Cell[] Row(DefectPoint point) =>
    [
        point.Group, $"{point.PieceCount}", $"{point.DefectiveCount}", $"{point.FewestUsualCount} to {point.MostUsualCount}",
        !point.Out ? "" : point.DefectiveCount > point.MostUsualCount ? new Cell("MORE THAN USUAL", Tone.Bad) : new Cell("fewer than usual", Tone.Good),
    ];

    private static string Found(PieceEvidence evidence) =>
        evidence.Defective ? "it has that defect." : evidence.Inspected ? "it was inspected and has none." : "nobody has looked yet.";

    private static Cell Has(PieceEvidence.Types.Level level) => level.Levels.Count == 0
        ? new Cell("unknown", Tone.Faint)
        : string.Join(", ", level.Levels) + (level.Measure.Length > 0 ? $" ({level.Measure})" : "");

    private static string Name(SuspectFactor factor) => factor switch
    {
        SuspectFactor.LotA => "A lot",
        SuspectFactor.LotB => "B lot",
        SuspectFactor.Date => "pour day",
        SuspectFactor.Temperature => "room temperature",
        SuspectFactor.Humidity => "room humidity",
        SuspectFactor.DewPointMargin => "margin above the dew point",
        SuspectFactor.RatioDeviation => "deviation from the ratio",
        SuspectFactor.Depth => "layer depth",
        SuspectFactor.HoursToDemold => "time to demold",
        SuspectFactor.ConversionAtDemold => "forecast conversion at demold",
        _ => Words.Of(factor),
    };

    private static async Task RankAsync(Desk desk, Rank s)
    {
        if (s.Kinds.Length == 0) throw new UsageException("Which defect? Write --kind soft, for example.");
        var request = new RankSuspectsRequest
        {
            Parent = desk.Names.Studio,
            Kinds = { s.Kinds },
            StartTime = await desk.BoundAsync(s.From, WhenSense.Happened),
            EndTime = s.To is { } to ? await desk.BoundAsync(WrittenSpan.End("", to), WhenSense.Planned) : null,
        };
        if (desk.SiteFilter is { Length: > 0 } site) request.Sites.Add(site);
        await desk.PrintAsync(await desk.Server.Suspects.RankSuspectsAsync(request, desk.Call), Ranking);
    }

    private static async Task PieceAsync(Desk desk, OnePiece s) => await desk.PrintAsync(
        await desk.Server.Suspects.GetPieceEvidenceAsync(new() { Name = desk.Names.Piece(s.Id), Kind = s.Kind }, desk.Call), Evidence);

    private static async Task WatchAsync(Desk desk, Watch s)
    {
        var request = new GetSiteWatchRequest
        {
            Name = desk.SiteFilter is { Length: > 0 } site ? site : desk.Names.Studio,
            Kinds = { s.Kinds },
            Grouping = s.ByClass ? Grouping.Class : Grouping.Week,
        };
        await desk.PrintAsync(await desk.Server.Suspects.GetSiteWatchAsync(request, desk.Call), Sites);
    }

    private class KindSettings : StudioSettings
    {
        [CommandOption("--kind <KIND>")]
        [Description(KindsHelp)]
        [TypeConverter(typeof(WordConverter<Kind>))]
        public Kind[] Kinds { get; init; } = [];
    }

    private sealed class Rank : KindSettings
    {
        [CommandOption("--from <TIME>")]
        [Description("Only pieces first poured then or later")]
        public string? From { get; init; }

        [CommandOption("--to <TIME>")]
        [Description("Only pieces first poured before; a day counts wholly")]
        public string? To { get; init; }
    }

    private sealed class OnePiece : StudioSettings
    {
        [CommandArgument(0, "<piece>")]
        public required string Id { get; init; }

        [CommandOption("--kind <KIND>")]
        [Description("For which kind of defect; that of its first one unless told")]
        [TypeConverter(typeof(WordConverter<Kind>))]
        public Kind Kind { get; init; }
    }

    private sealed class Watch : KindSettings
    {
        [CommandOption("--by-class")]
        [Description("Group by class instead of by week")]
        public bool ByClass { get; init; }
    }
}
