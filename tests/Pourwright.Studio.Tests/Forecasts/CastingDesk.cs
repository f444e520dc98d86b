using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Microsoft.Extensions.DependencyInjection;
using Pourwright.Cure.Ladder;
using Pourwright.Cure.Readiness;
using Pourwright.Studio.Resins;
using Pourwright.Studio.Storage;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Forecasts;

/// <summary>A node with the sample studio and its lots, at which a test pours, moves, measures and feels. The room is planned at 20 °C, its logger reports each hour.</summary>
internal sealed class CastingDesk : IAsyncDisposable
{
    public const string Piece = "studios/alder/pieces/seven";

    /// <summary>A second bench of the north site, planned at 12 °C; it has no sensor.</summary>
    public const string ColdBench = "studios/alder/sites/north/benches/cellar";

    private CastingDesk(StudioHarness harness) => Harness = harness;

    public StudioHarness Harness { get; }

    public V1.ForecastService.ForecastServiceClient Forecasts => new(Harness.Channel);

    public PieceService.PieceServiceClient Pieces => new(Harness.Channel);

    public Studio.Forecasts.PieceForecasts PieceForecasts => Harness.Services.GetRequiredService<Studio.Forecasts.PieceForecasts>();

    /// <summary>The engine asked directly about one layer of the sample studio's casting resin, as its data sheet is fitted.</summary>
    public PieceLadder Engine(double depthMm, double resinCelsius, params AmbientPoint[] ambient)
    {
        var deep = new ResinModels().Of(Harness.Reads.Read(session => ResinStore.GetResinSystem(session, SampleStudio.Deep)));
        // Lot, site and pour: 0.10 each.
        var spread = new CureSpread { RateLnSd = Math.Sqrt(deep.RateLnSd * deep.RateLnSd + 3 * 0.10 * 0.10) };
        return LadderForecaster.Forecast(
            new() { Layers = [new(0, depthMm, resinCelsius, deep.Model)], Ambient = ambient, BoardThicknessMm = 18, WorkCelsius = 20 }, spread);
    }

    /// <param name="store">One that outlives the desk; without it, one of its own.</param>
    /// <param name="configure">Replaces services of a desk with a store of its own.</param>
    public static async Task<CastingDesk> StartAsync(TestStore? store = null, Action<IServiceCollection>? configure = null)
    {
        var desk = new CastingDesk(store is null ? await StudioHarness.StartAsync(configure) : await StudioHarness.StartOnAsync(store));
        await SampleStudio.CreateAsync(desk.Harness);
        await SampleStudio.ReceiveLotsAsync(desk.Harness);
        await new SiteService.SiteServiceClient(desk.Harness.Channel).CreateBenchAsync(new()
        {
            Parent = SampleStudio.North, BenchId = "cellar", Bench = new() { DisplayName = "Cellar", PlannedTemperatureCelsius = 12 },
        });
        await desk.CreatePieceAsync("seven");
        return desk;
    }

    public async Task CreatePieceAsync(string id) => await Pieces.CreatePieceAsync(new()
    {
        Parent = SampleStudio.Name, PieceId = id, Piece = new() { Site = SampleStudio.North, Label = id, Maker = "Mara" },
    });

    /// <summary>Mixes and pours now; then every message and sweep has run.</summary>
    public async Task PourAndSettleAsync(double depthMm = 30, string piece = Piece, double? resinCelsius = 21)
    {
        await PourAsync(depthMm, piece, resinCelsius);
        await Harness.SettleAsync();
    }

    public async Task<Pour> PourAsync(double depthMm = 30, string piece = Piece, double? resinCelsius = 21, long hardenerMg = 42_000)
    {
        var mix = await new MixService.MixServiceClient(Harness.Channel).RecordMixAsync(new()
        {
            Parent = SampleStudio.Name,
            Mix = new()
            {
                Site = SampleStudio.North,
                ResinSystem = SampleStudio.Deep,
                Draws =
                {
                    new Mix.Types.Draw { Container = SampleStudio.DeepA, MassMg = 100_000 },
                    new Mix.Types.Draw { Container = SampleStudio.DeepB, MassMg = hardenerMg },
                },
                Mixer = "Asa",
                Scale = "scale-1",
                DeviationReason = hardenerMg == 42_000 ? "" : "Found out when the pour was done.",
            },
        });
        return await Pieces.RecordPourAsync(PourRequest(mix.Name, depthMm, piece, resinCelsius));
    }

    public static RecordPourRequest PourRequest(string mix, double depthMm, string piece = Piece, double? resinCelsius = 21)
    {
        var pour = new Pour
        {
            Mix = mix,
            Bench = SampleStudio.NorthBench,
            MassMg = 50_000,
            DepthMm = depthMm,
            Pourer = "Asa",
            DeviationReason = depthMm > 40 ? "It was poured before anyone measured." : "",
        };
        if (resinCelsius is { } celsius) pour.ResinTemperatureCelsius = celsius;
        return new() { Parent = piece, Pour = pour };
    }

    /// <summary>Readings of the shelf's logger at hours after <see cref="StudioHarness.Start"/>.</summary>
    public async Task ReadAsync(params (double AtHours, double Celsius)[] readings) =>
        await new ClimateService.ClimateServiceClient(Harness.Channel).RecordReadingsAsync(new()
        {
            Parent = SampleStudio.North,
            Readings =
            {
                readings.Select(reading => new Reading
                {
                    Sensor = SampleStudio.NorthSensor,
                    ReadingTime = Timestamp.FromDateTimeOffset(StudioHarness.Start.AddHours(reading.AtHours)),
                    TemperatureCelsius = reading.Celsius,
                }),
            },
        });

    public async Task<Step> StepAsync(Step.Types.Kind kind, string bench = "") => await Pieces.RecordStepAsync(
        new() { Parent = Piece, Step = new() { Kind = kind, Worker = "Ivo", Bench = bench } });

    public async Task<Check> TouchAsync(Check.Types.Touch touch) => await Pieces.RecordCheckAsync(
        new() { Parent = Piece, Check = new() { Checker = "Ivo", Touch = touch } });

    public async Task<Forecast> LatestAsync(string piece = Piece) =>
        await Forecasts.GetForecastAsync(new() { Name = $"{piece}/forecasts/latest" });

    public async Task<IReadOnlyList<Forecast>> RevisionsAsync(string piece = Piece) =>
        (await Forecasts.ListForecastsAsync(new() { Parent = piece })).Forecasts;

    /// <summary>The reason of the refusal with which a call ends.</summary>
    public static async Task<string> ReasonAsync(Func<Task> call) => (await Assert.ThrowsAsync<RpcException>(call)).Reason();

    public static DateTimeOffset Safe(Forecast forecast, Gate gate) =>
        forecast.Gates.Single(g => g.Gate == gate).SafeTime.ToDateTimeOffset();

    public IReadOnlyList<(string Bench, DateTimeOffset Due)> Touched() => Harness.Reads.Read(session => session
        .Query<Studio.Forecasts.BenchClaim>("SELECT bench, due_ms FROM benches_touched ORDER BY bench")
        .Select(row => (row.Bench, Instants.FromUnixMs(row.DueMs))).ToList());

    public ValueTask DisposeAsync() => Harness.DisposeAsync();
}
