using System.ComponentModel;
using Google.Protobuf.WellKnownTypes;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console.Cli;
using Spectre.Console.Rendering;

namespace Pourwright.Cli.Nouns;

/// <summary><c>pourwright sensor ...</c></summary>
public static class SensorNoun
{
    public static void Register(Noun noun)
    {
        noun.Describe("Loggers of temperature and humidity");
        noun.Verb<Create>("create", "Creates a sensor", CreateAsync,
            "sensor", "create", "north/logger-1", "--bench", "bench-1", "--every", "10min");
        noun.Verb<StudioSettings>("list", "Lists the sensors of a site", ListAsync);
        noun.Verb<One>("show", "Shows a sensor", ShowAsync);
    }

    public static IRenderable Card(Sensor sensor) => Sheets.Card($"Sensor {ResourceNames.Brief(sensor.Name)}",
        ("Name", sensor.DisplayName), ("Stands on", Place(sensor)), ("Reports every", Interval(sensor)));

    private static string Place(Sensor sensor) => sensor.Bench == "" ? "the room" : ResourceNames.Brief(sensor.Bench);

    private static string? Interval(Sensor sensor) =>
        sensor.ReportInterval is { } interval ? new Span(interval.ToTimeSpan()).ToString() : null;

    private static async Task CreateAsync(Desk desk, Create s)
    {
        var name = desk.Names.Sensor(s.Id);
        var site = ResourceNames.SiteOf(name);
        var request = new CreateSensorRequest
        {
            Parent = site,
            Sensor = new()
            {
                DisplayName = s.DisplayName ?? name.Split('/')[^1],
                Bench = s.Bench is null ? "" : new ResourceNames(desk.Names.Studio, site).Bench(s.Bench),
                ReportInterval = s.Every is { } every ? Duration.FromTimeSpan(every.Length) : null,
            },
            SensorId = name.Split('/')[^1],
            RequestId = s.RequestId,
        };
        await desk.PrintAsync(await desk.Server.Sites.CreateSensorAsync(request, desk.Call), (created, _) => Card(created));
    }

    private static async Task ListAsync(Desk desk, StudioSettings s) => await desk.PrintAsync(
        await Server.ListAsync(new ListSensorsRequest { Parent = await desk.SiteAsync() }, desk.Server.Sites.ListSensorsAsync, desk.Stop),
        (all, _) => Sheets.Rows("No sensor yet.", ["Sensor", "Name", "Stands on", "Every"],
            all.Sensors.Select(x => new Cell[] { ResourceNames.Brief(x.Name), x.DisplayName, Place(x), Interval(x) })));

    private static async Task ShowAsync(Desk desk, One s) => await desk.PrintAsync(
        await desk.Server.Sites.GetSensorAsync(new() { Name = desk.Names.Sensor(s.Id) }, desk.Call), (sensor, _) => Card(sensor));

    private sealed class Create : WriteSettings
    {
        [CommandArgument(0, "<sensor>")]
        [Description("SITE/SENSOR, for example north/logger-1")]
        public required string Id { get; init; }

        [CommandOption("-n|--name <NAME>")]
        [Description("What people call it; else its id")]
        public string? DisplayName { get; init; }

        [CommandOption("--bench <BENCH>")]
        [Description("The bench it stands on; else it serves the whole room")]
        public string? Bench { get; init; }

        [CommandOption("--every <SPAN>")]
        [Description("How often it reports; 15min unless told. Silence over three times this is a gap")]
        public Span? Every { get; init; }
    }

    private sealed class One : StudioSettings
    {
        [CommandArgument(0, "<sensor>")]
        public required string Id { get; init; }
    }
}
