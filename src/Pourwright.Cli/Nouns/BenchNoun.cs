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
        noun.Verb<StudioSettings>("list", "Lists the benches of a site", ListAsync);
        noun.Verb<One>("show", "Shows a bench", ShowAsync);
    }

    public static IRenderable Card(Bench bench) => Sheets.Card($"Bench {ResourceNames.Brief(bench.Name)}",
        ("Name", bench.DisplayName), ("Planned temperature", Planned(bench)), ("Board under the mould", Board(bench)));

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
        var request = new CreateBenchRequest
        {
            Parent = ResourceNames.SiteOf(name),
            Bench = bench,
            BenchId = name.Split('/')[^1],
            RequestId = s.RequestId,
        };
        await desk.PrintAsync(await desk.Server.Sites.CreateBenchAsync(request, desk.Call), (created, _) => Card(created));
    }

    private static async Task ListAsync(Desk desk, StudioSettings s) => await desk.PrintAsync(
        await Server.ListAsync(new ListBenchesRequest { Parent = await desk.SiteAsync() }, desk.Server.Sites.ListBenchesAsync, desk.Stop),
        (all, _) => Sheets.Rows("No bench yet.", ["Bench", "Name", "Planned", "Board"],
            all.Benches.Select(b => new Cell[] { ResourceNames.Brief(b.Name), b.DisplayName, Planned(b), Board(b) })));

    private static async Task ShowAsync(Desk desk, One s) => await desk.PrintAsync(
        await desk.Server.Sites.GetBenchAsync(new() { Name = desk.Names.Bench(s.Id) }, desk.Call), (bench, _) => Card(bench));

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
    }

    private sealed class One : StudioSettings
    {
        [CommandArgument(0, "<bench>")]
        public required string Id { get; init; }
    }
}
