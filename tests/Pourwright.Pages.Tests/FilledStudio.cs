using Google.Protobuf.WellKnownTypes;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Pages.Tests;

/// <summary>A studio with something on every page: a batch half poured, pieces that cure, are due and are only prepared, readings.</summary>
public sealed class FilledStudio : IAsyncLifetime
{
    public StudioHarness Harness { get; private set; } = null!;

    public async Task InitializeAsync()
    {
        Harness = await StudioHarness.StartAsync();
        await SampleSeason.CreateAsync(Harness.Channel);
        await SampleStudio.ReceiveLotsAsync(Harness);
        await FillAsync(Harness);
        await new DefectService.DefectServiceClient(Harness.Channel).ReportDefectAsync(new()
        {
            Parent = SampleStudio.Name, DefectId = "soft-1", Defect = new() { Piece = $"{SampleStudio.Name}/pieces/piece-1", Kind = Defect.Types.Kind.Soft, Finder = "Olive" },
        });
    }

    public async Task DisposeAsync() => await Harness.DisposeAsync();

    /// <summary>Adds pieces, a batch, pours and two days of readings to a studio that has its lots.</summary>
    public static async Task FillAsync(StudioHarness harness)
    {
        var pieces = new PieceService.PieceServiceClient(harness.Channel);
        string[] makers = ["Noa", "Farah", "Goran", "Mia", "Anna", "Anna", "Sven-Erik", "Wilhelmina"];
        for (var number = 1; number <= makers.Length; number++)
            await pieces.CreatePieceAsync(new()
            {
                Parent = SampleStudio.Name,
                PieceId = $"piece-{number}",
                Piece = new() { Site = SampleStudio.North, Label = $"{number}", Maker = makers[number - 1], PlannedSessionTime = Timestamp.FromDateTimeOffset(StudioHarness.Start.AddDays(6)) },
            });
        await MixAsync(harness, "mix-1", 3_000_000);
        foreach (var number in Enumerable.Range(1, 3)) await PourAsync(harness, number, "mix-1", 30);
        await harness.SettleAsync();
        await ReadAsync(harness, hours: 72, celsius: 20.5);
        await MixAsync(harness, "mix-2", 2_000_000);
        foreach (var number in Enumerable.Range(4, 2)) await PourAsync(harness, number, "mix-2", 38);
        await harness.SettleAsync();
    }

    public static async Task MixAsync(StudioHarness harness, string id, long aMassMg) => await new MixService.MixServiceClient(harness.Channel).RecordMixAsync(new()
    {
        Parent = SampleStudio.Name,
        MixId = id,
        Mix = new()
        {
            Site = SampleStudio.North,
            ResinSystem = SampleStudio.Deep,
            Mixer = "Ivo",
            Draws = { new Mix.Types.Draw { Container = SampleStudio.DeepA, MassMg = aMassMg }, new Mix.Types.Draw { Container = SampleStudio.DeepB, MassMg = aMassMg * 42 / 100 } },
        },
    });

    public static async Task PourAsync(StudioHarness harness, int number, string mix, double depthMm, long massMg = 1_000_000) => await new PieceService.PieceServiceClient(harness.Channel).RecordPourAsync(new()
    {
        Parent = $"{SampleStudio.Name}/pieces/piece-{number}",
        Pour = new() { Mix = $"{SampleStudio.Name}/mixes/{mix}", Bench = SampleStudio.NorthBench, MassMg = massMg, DepthMm = depthMm, Pourer = "Ivo" },
    });

    /// <summary>Readings of the north shelf hour by hour, while the clock goes along.</summary>
    private static async Task ReadAsync(StudioHarness harness, int hours, double celsius)
    {
        var climate = new ClimateService.ClimateServiceClient(harness.Channel);
        for (var hour = 0; hour < hours; hour++)
        {
            await climate.RecordReadingsAsync(new()
            {
                Parent = SampleStudio.North,
                Readings = { new Reading { Sensor = SampleStudio.NorthSensor, ReadingTime = Timestamp.FromDateTimeOffset(harness.Clock.GetUtcNow()), TemperatureCelsius = celsius, RelativeHumidityPercent = 52 } },
            });
            if (hour + 1 < hours) harness.Clock.Advance(TimeSpan.FromHours(1));
        }
        await harness.SettleAsync();
    }
}
