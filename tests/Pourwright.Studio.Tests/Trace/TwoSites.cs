using Google.Protobuf.WellKnownTypes;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Trace;

/// <summary>
/// One story on two sites. North: 20 kg of lot old and, later, 6 kg of lot new topped up into the same container; a mix before and a
/// mix after, both poured into piece one. South: a jug decanted from the container after the top-up, its mix poured into piece three.
/// The logger at the north bench is silent for ten hours, and the first mix names no scale.
/// </summary>
public sealed class TwoSites : IAsyncLifetime
{
    public const string Old = "studios/alder/lots/deep-a-lot";
    public const string New = "studios/alder/lots/new-a-lot";
    public const string One = "studios/alder/pieces/one";
    public const string Two = "studios/alder/pieces/two";
    public const string Three = "studios/alder/pieces/three";

    private V1.LotService.LotServiceClient _lots = null!;
    private V1.MixService.MixServiceClient _mixes = null!;
    private V1.PieceService.PieceServiceClient _pieces = null!;

    public StudioHarness Harness { get; private set; } = null!;

    public static Timestamp At(int hours) => Timestamp.FromDateTimeOffset(StudioHarness.Start.AddHours(hours));

    public async Task InitializeAsync()
    {
        Harness = await StudioHarness.StartAsync();
        (_lots, _mixes, _pieces) = (new(Harness.Channel), new(Harness.Channel), new(Harness.Channel));
        await SampleStudio.CreateAsync(Harness);
        await SampleStudio.ReceiveLotsAsync(Harness);
        await SampleStudio.ReceiveAsync(Harness.Channel, SampleStudio.Deep, "new-a-lot", Part.A, "new-a1", 10_000_000);
        await TellAsync();
        await Harness.SettleAsync();
    }

    public async Task DisposeAsync() => await Harness.DisposeAsync();

    private async Task TellAsync()
    {
        await CreatePieceAsync(One, SampleStudio.North, "1", "Ana");
        await CreatePieceAsync(Two, SampleStudio.North, "2", "Ben");
        await CreatePieceAsync(Three, SampleStudio.South, "3", "");
        await MixAsync("before", SampleStudio.North, "deep-a1", "deep-b1", 1_000_000, scale: "");
        await PourAsync(One, "before", SampleStudio.NorthBench, 600_000);
        await PourAsync(Two, "before", SampleStudio.NorthBench, 820_000);
        await _lots.TopUpContainerAsync(new() { Name = Container("deep-a1"), Source = Container("new-a1"), MassMg = 6_000_000 });
        await TakeSouthAsync("deep-a1", "jug-a", 5_000_000);
        await TakeSouthAsync("deep-b1", "jug-b", 2_000_000);
        await MixAsync("south", SampleStudio.South, "jug-a", "jug-b", 1_000_000, scale: "scale 1");
        await PourAsync(Three, "south", SampleStudio.SouthBench, 710_000);
        Harness.Clock.Advance(TimeSpan.FromHours(3));
        await MixAsync("after", SampleStudio.North, "deep-a1", "deep-b1", 500_000, scale: "scale 1");
        await PourAsync(One, "after", SampleStudio.NorthBench, 355_000);
        await _mixes.DiscardMixAsync(new() { Name = "studios/alder/mixes/after", MassMg = 142_000 });
        await Harness.SettleAsync();
        Harness.Clock.Advance(TimeSpan.FromHours(21));
        await ReadRoomAsync();
        foreach (var piece in (string[])[One, Two])
            await _pieces.RecordStepAsync(new() { Parent = piece, Step = new() { Kind = Step.Types.Kind.Demold, Worker = "Ivo" } });
        await _pieces.RecordStepAsync(new() { Parent = Two, Step = new() { Kind = Step.Types.Kind.HandOver, Worker = "Ivo" } });
        await new V1.DefectService.DefectServiceClient(Harness.Channel).ReportDefectAsync(new()
        {
            Parent = SampleStudio.Name,
            Defect = new() { Piece = Two, Kind = Defect.Types.Kind.SoftPatches, Finder = "Ben" },
        });
    }

    private async Task CreatePieceAsync(string name, string site, string label, string maker) => await _pieces.CreatePieceAsync(new()
    {
        Parent = SampleStudio.Name, PieceId = name.Split('/')[^1], Piece = new() { Site = site, Label = label, Maker = maker },
    });

    private async Task TakeSouthAsync(string from, string jug, long massMg)
    {
        await _lots.DecantContainerAsync(new() { Name = Container(from), ContainerId = jug, MassMg = massMg });
        await _lots.MoveContainerAsync(new() { Name = Container(jug), Site = SampleStudio.South });
    }

    private async Task MixAsync(string id, string site, string a, string b, long massMg, string scale) => await _mixes.RecordMixAsync(new()
    {
        Parent = SampleStudio.Name,
        MixId = id,
        Mix = new()
        {
            Site = site,
            ResinSystem = SampleStudio.Deep,
            Mixer = "Ivo",
            Scale = scale,
            // 100 : 42 by mass.
            Draws = { new Mix.Types.Draw { Container = Container(a), MassMg = massMg }, new Mix.Types.Draw { Container = Container(b), MassMg = massMg * 42 / 100 } },
        },
    });

    private async Task PourAsync(string piece, string mix, string bench, long massMg) => await _pieces.RecordPourAsync(new()
    {
        Parent = piece,
        Pour = new() { Mix = $"studios/alder/mixes/{mix}", Bench = bench, MassMg = massMg, DepthMm = 15, Pourer = "Ana" },
    });

    private async Task ReadRoomAsync() => await new V1.ClimateService.ClimateServiceClient(Harness.Channel).RecordReadingsAsync(new()
    {
        Parent = SampleStudio.North,
        Readings =
        {
            Enumerable.Range(0, 25).Where(hour => hour is <= 6 or >= 16).Select(hour => new Reading
            {
                Sensor = SampleStudio.NorthSensor, ReadingTime = At(hour), TemperatureCelsius = hour <= 6 ? 20 : 14, RelativeHumidityPercent = 50,
            }),
        },
    });

    private static string Container(string id) => $"studios/alder/containers/{id}";
}
