using System.ComponentModel;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console.Cli;
using Spectre.Console.Rendering;

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
}
