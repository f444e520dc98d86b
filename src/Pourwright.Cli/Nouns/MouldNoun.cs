using System.ComponentModel;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console.Cli;
using Spectre.Console.Rendering;

namespace Pourwright.Cli.Nouns;

/// <summary><c>pourwright mould ...</c></summary>
public static class MouldNoun
{
    public static void Register(Noun noun)
    {
        noun.Describe("Moulds of a site, and which class holds them");
        noun.Verb<Create>("create", "Creates moulds that are alike", CreateAsync,
            "mould", "create", "north/tray", "--name", "Tray", "--length", "400mm", "--width", "250mm", "--depth", "40mm", "--count", "8");
        noun.Verb<StudioSettings>("list", "Lists the moulds of a site", ListAsync);
        noun.Verb<Free>("free", "How many a class could have, from its pour to its machine day", FreeAsync, "mould", "free", "boards");
        noun.Verb<Book>("book", "Keeps moulds for a class; 0 gives them back", BookAsync, "mould", "book", "north/tray", "boards", "8");
    }

    public static IRenderable FreeView(FreeMoulds free, SiteClock clock) => Sheets.Stack(
    [
        new Cell($"{free.FreeCount} free that fit, {free.WantedCount} wanted, from {clock.At(free.StartTime, null)} to {clock.At(free.EndTime, null)}", Tone.Strong).Render(),
        Sheets.Rows("No mould is kept here.", ["Mould", "Name", "Fits", "There are", "Held by others", "Free", "Booked"], free.Stocks.Select(stock => new Cell[]
        {
            ResourceNames.Brief(stock.Mould), stock.DisplayName, stock.Fits ? "yes" : new Cell("NO", Tone.Bad), $"{stock.MouldCount}", $"{stock.HeldCount}",
            $"{stock.FreeCount}", $"{stock.BookedCount}",
        })),
        .. Cautions.Show(free.Cautions),
    ]);

    private static IRenderable Rows(IEnumerable<Mould> moulds) => Sheets.Rows("No mould is kept here.", ["Mould", "Name", "Length", "Width", "Depth", "Count"],
        moulds.Select(mould => new Cell[]
        {
            ResourceNames.Brief(mould.Name), mould.DisplayName, $"{new Depth(mould.LengthMm)}", $"{new Depth(mould.WidthMm)}", $"{new Depth(mould.DepthMm)}",
            $"{mould.MouldCount}",
        }));

    private static async Task CreateAsync(Desk desk, Create s)
    {
        var name = desk.Names.Mould(s.Id);
        var request = new CreateMouldRequest
        {
            Parent = ResourceNames.SiteOf(name),
            MouldId = name.Split('/')[^1],
            Mould = new()
            {
                DisplayName = s.DisplayName, LengthMm = s.Length.Mm, WidthMm = s.Width.Mm, DepthMm = s.Depth.Mm, MouldCount = s.Count,
            },
            RequestId = s.RequestId,
        };
        await desk.PrintAsync(await desk.Server.Moulds.CreateMouldAsync(request, desk.Call), (mould, _) => Rows([mould]));
    }

    private static async Task ListAsync(Desk desk, StudioSettings s) => await desk.PrintAsync(
        await Server.ListAsync(new ListMouldsRequest { Parent = await desk.SiteAsync() }, desk.Server.Moulds.ListMouldsAsync, desk.Stop),
        (all, _) => Rows(all.Moulds));

    private static async Task FreeAsync(Desk desk, Free s)
    {
        var request = new AskFreeMouldsRequest
        {
            Site = await desk.SiteAsync(),
            CastingClass = desk.Names.Class(s.Class),
            StartTime = await desk.BoundAsync(s.From, WhenSense.Planned),
            EndTime = await desk.BoundAsync(s.Until, WhenSense.Planned),
        };
        await desk.PrintAsync(await desk.Server.Moulds.AskFreeMouldsAsync(request, desk.Call), FreeView);
    }

    private static async Task BookAsync(Desk desk, Book s)
    {
        var request = new BookMouldsRequest
        {
            Mould = desk.Names.Mould(s.Id), CastingClass = desk.Names.Class(s.Class), MouldCount = s.Count, RequestId = s.RequestId,
        };
        await desk.PrintAsync(await desk.Server.Moulds.BookMouldsAsync(request, desk.Call), (booking, clock) => Sheets.Card(
            $"{booking.MouldCount} of {ResourceNames.Brief(booking.Mould)} for {ResourceNames.Brief(booking.CastingClass)}",
            ("From", clock.At(booking.StartTime, booking.Mould)), ("Until", clock.At(booking.EndTime, booking.Mould))));
    }

    private sealed class Create : WriteSettings
    {
        [CommandArgument(0, "<mould>")]
        [Description("Site and id: north/tray")]
        public required string Id { get; init; }

        [CommandOption("-n|--name <NAME>", true)]
        [Description("What people call it")]
        public required string DisplayName { get; init; }

        [CommandOption("--length <LENGTH>", true)]
        [Description("Inside, for example 400mm")]
        public required Depth Length { get; init; }

        [CommandOption("--width <LENGTH>", true)]
        [Description("Inside")]
        public required Depth Width { get; init; }

        [CommandOption("--depth <LENGTH>", true)]
        [Description("Inside")]
        public required Depth Depth { get; init; }

        [CommandOption("--count <COUNT>")]
        [Description("How many there are; one unless told")]
        public int Count { get; init; } = 1;
    }

    private sealed class Free : StudioSettings
    {
        [CommandArgument(0, "<class>")]
        public required string Class { get; init; }

        [CommandOption("--from <TIME>")]
        [Description("From when; as the class has its sessions unless told")]
        public string? From { get; init; }

        [CommandOption("--until <TIME>")]
        [Description("Until when")]
        public string? Until { get; init; }
    }

    private sealed class Book : WriteSettings
    {
        [CommandArgument(0, "<mould>")]
        public required string Id { get; init; }

        [CommandArgument(1, "<class>")]
        public required string Class { get; init; }

        [CommandArgument(2, "<count>")]
        public required int Count { get; init; }
    }
}
