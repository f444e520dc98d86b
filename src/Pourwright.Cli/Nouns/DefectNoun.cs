using System.ComponentModel;
using Google.Api;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console.Cli;
using Spectre.Console.Rendering;
using Format = Pourwright.V1.PrintTraceRequest.Types.Format;

namespace Pourwright.Cli.Nouns;

/// <summary><c>pourwright defect ...</c></summary>
public static class DefectNoun
{
    public static void Register(Noun noun)
    {
        noun.Describe("What is wrong with a piece: what is seen, never why");
        noun.Verb<Report>("report", "Reports a defect", ReportAsync,
            "defect", "report", "piece-7", "soft-patches", "--note", "two dents at the north edge", "--by", "Ana");
        noun.Verb<Filter>("list", "Lists the defects", ListAsync);
        noun.Verb<One>("show", "Shows a defect", ShowAsync);
        noun.Verb<Page>("print", "One page: what is wrong, what is suspected, its sisters, what to do now", PrintAsync,
            "defect", "print", "defect-1", "--pdf", "defect-1.pdf");
        noun.Verb<Season>("season", "One page: the defects of a season by kind, cause and site", SeasonAsync,
            "defect", "season", "--from", "2026-01-05", "--to", "2026-03-15", "--pdf", "season.pdf");
        noun.Verb<Sisters>("hold-sisters", "First of all: holds what shares a mix or a lot with it, before anybody argues the cause", HoldSistersAsync,
            "defect", "hold-sisters", "defect-1", "--level", "lot", "--by", "Ana");
        noun.Verb<Free>("release-sisters", "Lets go what is held for it", ReleaseSistersAsync,
            "defect", "release-sisters", "defect-1", "all hard after two days of warmth", "--by", "Ana");
    }

    public static IRenderable Card(Defect defect, SiteClock clock) => Sheets.Card($"Defect {ResourceNames.Brief(defect.Name)}",
    [
        ("Piece", ResourceNames.Brief(defect.Piece)),
        ("Seen", Words.Of(defect.Kind).ToUpperInvariant()),
        ("Note", defect.Note),
        ("Found", $"{clock.At(defect.FindTime, null)} by {defect.Finder}"),
        .. defect.PhotoUris.Select(photo => ("Photo", (Cell)photo)),
        ("Who shares it", $"pourwright piece trace {ResourceNames.Brief(defect.Piece)}"),
    ]);

    public static IRenderable Rows(ListDefectsResponse all, SiteClock clock) => Sheets.Rows("No defect.",
        ["Defect", "Piece", "Seen", "Found", "By", "Note"],
        all.Defects.Select(d => new Cell[]
        {
            ResourceNames.Brief(d.Name), ResourceNames.Brief(d.Piece), Words.Of(d.Kind).ToUpperInvariant(),
            clock.At(d.FindTime, null), d.Finder, d.Note,
        }));

    /// <summary>What a hold of sisters held, or its release let go, and what is left to people.</summary>
    public static IRenderable Holds(SisterHolds holds, SiteClock clock) => Sheets.Stack(
    [
        Sheets.Card("",
            ("Pieces", Names(holds.Pieces)),
            ("Lots and cans", Names(holds.Lots)),
            ("As before", Names(holds.Unchanged)),
            ("With their makers", new($"{Names(holds.HandedOver)}{(holds.HandedOver.Count > 0 ? ": cannot be held, only told: pourwright recall start" : "")}", Tone.Bad))),
        holds.Stock.Count + holds.OpenMixes.Count == 0 ? null : RecallNoun.Lists(new() { Stock = { holds.Stock }, OpenMixes = { holds.OpenMixes } }),
    ]);

    private static string Names(IEnumerable<string> names) => string.Join(", ", names.Select(ResourceNames.Brief));

    private static async Task HoldSistersAsync(Desk desk, Sisters s)
    {
        var request = new HoldSistersRequest { Name = desk.Names.Defect(s.Id), Level = s.Level, Person = s.Person, RequestId = s.RequestId };
        var held = await desk.Server.Recalls.HoldSistersAsync(request, desk.Call);
        desk.Output.Say(new Cell(held.Pieces.Count + held.Lots.Count == 0 ? "NOTHING NEW TO HOLD" : "HELD. Set it apart and label it.", Tone.Strong));
        await desk.PrintAsync(held, Holds);
    }

    private static async Task ReleaseSistersAsync(Desk desk, Free s)
    {
        var request = new ReleaseSistersRequest { Name = desk.Names.Defect(s.Id), Reason = s.Reason, Person = s.Person, RequestId = s.RequestId };
        var free = await desk.Server.Recalls.ReleaseSistersAsync(request, desk.Call);
        desk.Output.Say(new Cell("RELEASED", Tone.Strong));
        await desk.PrintAsync(free, Holds);
    }

    private static async Task ReportAsync(Desk desk, Report s)
    {
        var piece = desk.Names.Piece(s.Piece);
        var request = new ReportDefectRequest
        {
            Parent = desk.Names.Studio,
            Defect = new()
            {
                Piece = piece,
                Kind = s.Kind,
                FindTime = await desk.WhenAsync(s.At, WhenSense.Happened, () => desk.SiteOfPieceAsync(piece)),
                Finder = s.Person,
                Note = s.Note ?? "",
                PhotoUris = { s.Photos },
            },
            RequestId = s.RequestId,
        };
        await desk.PrintAsync(await desk.Server.Defects.ReportDefectAsync(request, desk.Call), Card);
    }

    private static async Task ListAsync(Desk desk, Filter s)
    {
        var request = new ListDefectsRequest { Parent = desk.Names.Studio, Piece = s.Piece is null ? "" : desk.Names.Piece(s.Piece) };
        await desk.PrintAsync(await Server.ListAsync(request, desk.Server.Defects.ListDefectsAsync, desk.Stop), Rows);
    }

    private static async Task ShowAsync(Desk desk, One s) => await desk.PrintAsync(
        await desk.Server.Defects.GetDefectAsync(new() { Name = desk.Names.Defect(s.Id) }, desk.Call), Card);

    private static async Task PrintAsync(Desk desk, Page s) => await PrintAsync(desk, s.Pdf, async format =>
        await desk.Server.Reports.PrintDefectAsync(new() { Name = desk.Names.Defect(s.Id), Format = format }, desk.Call));

    private static async Task SeasonAsync(Desk desk, Season s)
    {
        var request = new PrintSeasonRequest
        {
            Parent = desk.Names.Studio,
            StartTime = await desk.BoundAsync(s.From, WhenSense.Happened),
            EndTime = s.To is { } to ? await desk.BoundAsync(WrittenSpan.End("", to), WhenSense.Planned) : null,
        };
        await PrintAsync(desk, s.Pdf, async format =>
        {
            request.Format = format;
            return await desk.Server.Reports.PrintSeasonAsync(request, desk.Call);
        });
    }

    private static async Task PrintAsync(Desk desk, string? pdf, Func<Format, Task<HttpBody>> print)
    {
        var format = pdf is not null ? Format.Pdf : desk.Output.Json ? Format.Json : Format.Text;
        await TraceOutput.PrintAsync(desk, await print(format), pdf);
    }

    private class PageSettings : StudioSettings
    {
        [CommandOption("--pdf <FILE>")]
        [Description("Save it as a page of A4")]
        public string? Pdf { get; init; }
    }

    private sealed class Page : PageSettings
    {
        [CommandArgument(0, "<defect>")]
        public required string Id { get; init; }
    }

    private sealed class Season : PageSettings
    {
        [CommandOption("--from <TIME>", true)]
        [Description("Only pieces first poured then or later")]
        public required string From { get; init; }

        [CommandOption("--to <TIME>")]
        [Description("Only pieces first poured before; a day is counted in; now unless told")]
        public string? To { get; init; }
    }

    private sealed class Report : PersonSettings
    {
        [CommandArgument(0, "<piece>")]
        public required string Piece { get; init; }

        [CommandArgument(1, "<what>")]
        [Description("soft, soft-patches, tacky-skin, low-hardness, bubbles, cracks, cloudy, colour-drift, delamination, "
            + "layer-split, warp, leak, finish or other")]
        [TypeConverter(typeof(WordConverter<Defect.Types.Kind>))]
        public required Defect.Types.Kind Kind { get; init; }

        [CommandOption("--note <TEXT>")]
        [Description("In your words")]
        public string? Note { get; init; }

        [CommandOption("--photo <URI>")]
        [Description("Where a photo is kept; repeat for more")]
        public string[] Photos { get; init; } = [];

        [CommandOption("--at <TIME>")]
        [Description("When it was found; now unless told")]
        public string? At { get; init; }
    }

    private sealed class Filter : StudioSettings
    {
        [CommandOption("--piece <PIECE>")]
        [Description("Only those of this piece")]
        public string? Piece { get; init; }
    }

    private sealed class One : StudioSettings
    {
        [CommandArgument(0, "<defect>")]
        public required string Id { get; init; }
    }

    private sealed class Sisters : PersonSettings
    {
        [CommandArgument(0, "<defect>")]
        public required string Id { get; init; }

        [CommandOption("--level <LEVEL>")]
        [Description("mix: pieces of the same mixes; lot: pieces of the same lots, and the lots; lot unless told")]
        [TypeConverter(typeof(WordConverter<HoldSistersRequest.Types.Level>))]
        public HoldSistersRequest.Types.Level Level { get; init; } = HoldSistersRequest.Types.Level.Lot;
    }

    private sealed class Free : PersonSettings
    {
        [CommandArgument(0, "<defect>")]
        public required string Id { get; init; }

        [CommandArgument(1, "<reason>")]
        [Description("Why it is over; in quotes")]
        public required string Reason { get; init; }
    }
}
