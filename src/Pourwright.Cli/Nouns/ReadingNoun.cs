using System.ComponentModel;
using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console;
using Spectre.Console.Cli;
using Spectre.Console.Rendering;

namespace Pourwright.Cli.Nouns;

/// <summary><c>pourwright reading ...</c></summary>
public static class ReadingNoun
{
    /// <summary>Half of what the server takes at once: a refused batch names fewer lines.</summary>
    private const int BatchSize = 500;

    public static void Register(Noun noun)
    {
        noun.Describe("Room climate, as measured");
        noun.Verb<Add>("add", "Adds a reading by hand", AddAsync, "reading", "add", "north/logger-1", "21.5C", "55%");
        noun.Verb<Import>("import", "Adds the readings of a CSV file", ImportAsync,
            "reading", "import", "north/logger-1", "week-19.csv");
        noun.Verb<Range>("list", "Lists the readings of a sensor; of the last day unless told", ListAsync,
            "reading", "list", "north/logger-1", "--from", "2026-05-01");
        noun.Verb<Bench>("now", "The climate at a bench now", NowAsync, "reading", "now", "north/bench-1");
    }

    public static IRenderable Card(BenchClimate climate, SiteClock clock) => Sheets.Card($"Climate at {ResourceNames.Brief(climate.Bench)}",
        ("State", climate.Silent
            ? new("SILENT: no reading for more than three intervals; the room is not known", Tone.Bad)
            : new("REPORTING", Tone.Good)),
        ("Last reading", climate.Reading is null ? "none" : clock.AtAndIn(climate.Reading.ReadingTime, climate.Bench)),
        ("Air", climate.Reading is { } air ? new Temperature(air.TemperatureCelsius).ToString() : null),
        ("Humidity", climate.Reading is { HasRelativeHumidityPercent: true } damp ? new Percent(damp.RelativeHumidityPercent).ToString() : null),
        ("Surface", climate.Reading is { HasSurfaceTemperatureCelsius: true } cold ? new Temperature(cold.SurfaceTemperatureCelsius).ToString() : null),
        ("Dew point", climate.HasDewPointCelsius ? new Temperature(climate.DewPointCelsius).ToString() : null),
        ("Above the dew point", climate.HasDewPointMarginCelsius ? new TemperatureDifference(climate.DewPointMarginCelsius).ToString() : null));

    public static IRenderable Rows(ListReadingsResponse all, SiteClock clock) => Sheets.Rows("No reading in this span: the room is not known.",
        ["When", "Air", "Humidity", "Surface"],
        all.Readings.Select(r => new Cell[]
        {
            clock.At(r.ReadingTime, r.Sensor), new Temperature(r.TemperatureCelsius).ToString(),
            r.HasRelativeHumidityPercent ? new Percent(r.RelativeHumidityPercent).ToString() : null,
            r.HasSurfaceTemperatureCelsius ? new Temperature(r.SurfaceTemperatureCelsius).ToString() : null,
        }));

    private static async Task AddAsync(Desk desk, Add s)
    {
        var sensor = desk.Names.Sensor(s.Sensor);
        var site = ResourceNames.SiteOf(sensor);
        var reading = new Reading
        {
            Sensor = sensor,
            ReadingTime = await desk.WhenAsync(s.At, WhenSense.Happened, () => Task.FromResult(site)) ?? desk.Now.ToTimestamp(),
            TemperatureCelsius = s.Temperature.Celsius,
        };
        if (s.Humidity is { } humidity)
            reading.RelativeHumidityPercent = humidity.Value;
        if (s.Surface is { } surface)
            reading.SurfaceTemperatureCelsius = surface.Celsius;
        var request = new RecordReadingsRequest { Parent = site, Readings = { reading }, RequestId = s.RequestId };
        var answer = await desk.Server.Climate.RecordReadingsAsync(request, desk.Call);
        await desk.PrintAsync(answer, (added, _) => new Cell(added.AddedCount == 1 ? "ADDED" : "There already: nothing changed").Render());
    }

    private static async Task ImportAsync(Desk desk, Import s)
    {
        var sensor = desk.Names.Sensor(s.Sensor);
        using var file = new StreamReader(s.File);
        var clock = await desk.ClockAsync();
        var readings = ReadingFile.Read(file, sensor, clock.ZoneOf(sensor), desk.Now);
        await desk.PrintAsync(await StreamAsync(desk, ResourceNames.SiteOf(sensor), readings), (answer, _) => new Cell(
            $"{answer.AddedCount} readings added, {answer.RepeatedCount} were there already ({answer.BatchCount} batches).").Render());
    }

    private static Task<StreamReadingsResponse> StreamAsync(Desk desk, string site, IReadOnlyList<Reading> readings) =>
        desk.Output is { IsTerminal: true, Json: false }
            ? desk.Output.Console.Progress().StartAsync(progress =>
            {
                var bar = progress.AddTask("Sending readings", maxValue: readings.Count);
                return SendAsync(desk, site, readings, bar.Increment);
            })
            : SendAsync(desk, site, readings, _ => { });

    private static async Task<StreamReadingsResponse> SendAsync(Desk desk, string site, IReadOnlyList<Reading> readings, Action<double> sent)
    {
        using var call = desk.Server.Climate.StreamReadings(desk.Call);
        try
        {
            foreach (var batch in readings.Chunk(BatchSize))
            {
                await call.RequestStream.WriteAsync(new() { Parent = site, Readings = { batch }, RequestId = Guid.NewGuid().ToString() });
                sent(batch.Length);
            }
            await call.RequestStream.CompleteAsync();
        }
        catch (Exception closed) when (closed is RpcException or InvalidOperationException)
        {
            // The server listens no more: its answer says why.
        }
        return await call;
    }

    private static async Task ListAsync(Desk desk, Range s)
    {
        var sensor = desk.Names.Sensor(s.Sensor);
        Task<string> Site() => Task.FromResult(ResourceNames.SiteOf(sensor));
        var request = new ListReadingsRequest
        {
            Parent = sensor,
            StartTime = await desk.BoundAsync(s.From, WhenSense.Happened, Site) ?? (desk.Now - TimeSpan.FromDays(1)).ToTimestamp(),
            EndTime = await desk.BoundAsync(s.To, WhenSense.Happened, Site),
        };
        await desk.PrintAsync(await Server.ListAsync(request, desk.Server.Climate.ListReadingsAsync, desk.Stop), Rows);
    }

    private static async Task NowAsync(Desk desk, Bench s) => await desk.PrintAsync(
        await desk.Server.Climate.GetBenchClimateAsync(new() { Name = desk.Names.Bench(s.Id) }, desk.Call), Card);

    private sealed class Add : WriteSettings
    {
        [CommandArgument(0, "<sensor>")]
        public required string Sensor { get; init; }

        [CommandArgument(1, "<temperature>")]
        [Description("Air, for example 21.5C")]
        public required Temperature Temperature { get; init; }

        [CommandArgument(2, "[humidity]")]
        [Description("Relative humidity, for example 55%")]
        public Percent? Humidity { get; init; }

        [CommandOption("--surface <DEGREES>")]
        [Description("Coldest surface near the pieces, for example 18C")]
        public Temperature? Surface { get; init; }

        [CommandOption("--at <TIME>")]
        [Description("When; now unless told")]
        public string? At { get; init; }
    }

    private sealed class Import : StudioSettings
    {
        [CommandArgument(0, "<sensor>")]
        public required string Sensor { get; init; }

        [CommandArgument(1, "<file>")]
        [Description("CSV; its first line names the columns time, temperature_celsius, relative_humidity_percent, surface_temperature_celsius")]
        public required string File { get; init; }
    }

    private sealed class Range : StudioSettings
    {
        [CommandArgument(0, "<sensor>")]
        public required string Sensor { get; init; }

        [CommandOption("--from <TIME>")]
        [Description("From here; a day ago unless told")]
        public string? From { get; init; }

        [CommandOption("--to <TIME>")]
        [Description("To here; now unless told")]
        public string? To { get; init; }
    }

    private sealed class Bench : StudioSettings
    {
        [CommandArgument(0, "<bench>")]
        public required string Id { get; init; }
    }
}
