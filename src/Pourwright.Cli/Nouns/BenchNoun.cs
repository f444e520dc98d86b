using System.ComponentModel;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console.Cli;
using Spectre.Console.Rendering;

namespace Pourwright.Cli.Nouns;

/// <summary><c>pourwright bench ...</c></summary>
public static class BenchNoun
{
    public static void Register(Noun noun)
    {
        noun.Describe("Where pieces cure");
        noun.Verb<Create>("create", "Creates a bench", CreateAsync,
            "bench", "create", "north/bench-1", "--name", "Window", "--planned", "21C");
        noun.Verb<Change>("change", "Changes the name or the places of a bench", ChangeAsync, "bench", "change", "north/bench-1", "--places", "12");
        noun.Verb<StudioSettings>("list", "Lists the benches of a site", ListAsync);
        noun.Verb<One>("show", "Shows a bench", ShowAsync);
        noun.Verb<Outlook>("outlook", "Says what the air at a bench will follow, or shows what was said", OutlookAsync,
            "bench", "outlook", "north/bench-1", "--heating", "week-19.csv");
    }

    public static IRenderable Card(Bench bench) => Sheets.Card($"Bench {ResourceNames.Brief(bench.Name)}",
        ("Name", bench.DisplayName), ("Planned temperature", Planned(bench)), ("Board under the mould", Board(bench)),
        ("Places", bench.HasPlaceCount ? $"{bench.PlaceCount}" : null));

    public static IRenderable OutlookCard(BenchOutlook outlook, SiteClock clock) => Sheets.Stack(
        Sheets.Card($"Outlook of bench {ResourceNames.Brief(outlook.Bench)}",
            ("Follows", outlook.Kind switch
            {
                BenchOutlook.Types.Kind.Heating => "the set points of its heating",
                BenchOutlook.Types.Kind.Outdoor => "the air outdoors",
                _ => "its own readings: nothing is said of the air to come",
            }),
            ("Said", outlook.SetTime is null ? null : clock.AtAndIn(outlook.SetTime, outlook.Bench))),
        outlook.Points.Count == 0 ? null : Sheets.Rows("", ["From", "Temperature"], outlook.Points.Select(point => new Cell[]
        {
            clock.At(point.PointTime, outlook.Bench), new Temperature(point.TemperatureCelsius).ToString(),
        })));

    private static string? Planned(Bench bench) =>
        bench.HasPlannedTemperatureCelsius ? new Temperature(bench.PlannedTemperatureCelsius).ToString() : null;

    private static string? Board(Bench bench) => bench.HasBoardThicknessMm ? new Depth(bench.BoardThicknessMm).ToString() : null;

    private static async Task CreateAsync(Desk desk, Create s)
    {
        var name = desk.Names.Bench(s.Id);
        var bench = new Bench { DisplayName = s.DisplayName ?? ResourceNames.Brief(name).Split('/')[^1] };
        if (s.Planned is { } planned)
            bench.PlannedTemperatureCelsius = planned.Celsius;
        if (s.Board is { } board)
            bench.BoardThicknessMm = board.Mm;
        if (s.Places is { } places)
            bench.PlaceCount = places;
        var request = new CreateBenchRequest
        {
            Parent = ResourceNames.SiteOf(name),
            Bench = bench,
            BenchId = name.Split('/')[^1],
            RequestId = s.RequestId,
        };
        await desk.PrintAsync(await desk.Server.Sites.CreateBenchAsync(request, desk.Call), (created, _) => Card(created));
    }

    private static async Task ChangeAsync(Desk desk, Change s)
    {
        var bench = new Bench { Name = desk.Names.Bench(s.Id), DisplayName = s.DisplayName ?? "" };
        if (s.Places is { } places)
            bench.PlaceCount = places;
        var request = new UpdateBenchRequest { Bench = bench, RequestId = s.RequestId };
        await desk.PrintAsync(await desk.Server.Sites.UpdateBenchAsync(request, desk.Call), (changed, _) => Card(changed));
    }

    private static async Task ListAsync(Desk desk, StudioSettings s) => await desk.PrintAsync(
        await Server.ListAsync(new ListBenchesRequest { Parent = await desk.SiteAsync() }, desk.Server.Sites.ListBenchesAsync, desk.Stop),
        (all, _) => Sheets.Rows("No bench yet.", ["Bench", "Name", "Planned", "Board", "Places"],
            all.Benches.Select(b => new Cell[] { ResourceNames.Brief(b.Name), b.DisplayName, Planned(b), Board(b), $"{b.PlaceCount}" })));

    private static async Task ShowAsync(Desk desk, One s) => await desk.PrintAsync(
        await desk.Server.Sites.GetBenchAsync(new() { Name = desk.Names.Bench(s.Id) }, desk.Call), (bench, _) => Card(bench));

    private static async Task OutlookAsync(Desk desk, Outlook s)
    {
        var bench = desk.Names.Bench(s.Id);
        var said = new[] { s.Heating, s.Outdoor }.Count(file => file is not null) + (s.None ? 1 : 0);
        if (said > 1)
            throw new UsageException("One of --heating, --outdoor and --none: an outlook takes the place of the one before.");
        var answer = said == 0
            ? await desk.Server.Climate.GetBenchOutlookAsync(new() { Name = bench }, desk.Call)
            : await desk.Server.Climate.SetBenchOutlookAsync(await SaidAsync(desk, bench, s), desk.Call);
        await desk.PrintAsync(answer, OutlookCard);
    }

    private static async Task<SetBenchOutlookRequest> SaidAsync(Desk desk, string bench, Outlook s)
    {
        var request = new SetBenchOutlookRequest { Name = bench, Kind = BenchOutlook.Types.Kind.None, RequestId = s.RequestId };
        if ((s.Heating ?? s.Outdoor) is not { } path)
            return request;
        request.Kind = s.Heating is null ? BenchOutlook.Types.Kind.Outdoor : BenchOutlook.Types.Kind.Heating;
        using var file = new StreamReader(path);
        // A logger's file without its sensor: the same two columns.
        var points = ReadingFile.Read(file, "", (await desk.ClockAsync()).ZoneOf(bench), desk.Now);
        request.Points.Add(points.Select(point => new BenchOutlook.Types.Point
        {
            PointTime = point.ReadingTime, TemperatureCelsius = point.TemperatureCelsius,
        }));
        return request;
    }

    private sealed class Outlook : WriteSettings
    {
        [CommandArgument(0, "<bench>")]
        [Description("SITE/BENCH, for example north/bench-1")]
        public required string Id { get; init; }

        [CommandOption("--heating <FILE>")]
        [Description("CSV of set points, each held until the next: time, temperature_celsius; those of the last days tell how the room follows")]
        public string? Heating { get; init; }

        [CommandOption("--outdoor <FILE>")]
        [Description("CSV of the air outdoors, measured and forecast: time, temperature_celsius")]
        public string? Outdoor { get; init; }

        [CommandOption("--none")]
        [Description("Takes an outlook back")]
        public bool None { get; init; }
    }

    private sealed class Create : WriteSettings
    {
        [CommandArgument(0, "<bench>")]
        [Description("SITE/BENCH, for example north/bench-1")]
        public required string Id { get; init; }

        [CommandOption("-n|--name <NAME>")]
        [Description("What people call it; else its id")]
        public string? DisplayName { get; init; }

        [CommandOption("--planned <DEGREES>")]
        [Description("What the room is meant to be held at, for example 21C; forecasts use it until the first reading")]
        public Temperature? Planned { get; init; }

        [CommandOption("--board <THICKNESS>")]
        [Description("Wood-based panel under the mould; 18mm unless told, 0mm for none")]
        public Depth? Board { get; init; }

        [CommandOption("--places <NUMBER>")]
        [Description("Pieces that may lie and cure at a time; 8 unless told")]
        public int? Places { get; init; }
    }

    private sealed class Change : WriteSettings
    {
        [CommandArgument(0, "<bench>")]
        public required string Id { get; init; }

        [CommandOption("-n|--name <NAME>")]
        [Description("What people call it")]
        public string? DisplayName { get; init; }

        [CommandOption("--places <NUMBER>")]
        [Description("Pieces that may lie and cure at a time")]
        public int? Places { get; init; }
    }

    private sealed class One : StudioSettings
    {
        [CommandArgument(0, "<bench>")]
        public required string Id { get; init; }
    }
}
