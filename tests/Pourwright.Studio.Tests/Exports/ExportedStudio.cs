using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Exports;

/// <summary>
/// A story on two sites with clocks of their own. North: a can of part A is topped up from another lot, whose label carried a GTIN;
/// a mix before and one after, both poured into piece one. East: jugs decanted at north, moved, mixed, poured into piece three.
/// Piece two is soft and scrapped; its lot is held and released, and so is piece one; a can is weighed back, another thrown away.
/// </summary>
public sealed class ExportedStudio : IAsyncLifetime
{
    public const string Address = "https://studio.example.org";
    public const string East = "studios/alder/sites/east";
    public const string One = "studios/alder/pieces/one";
    public const string Two = "studios/alder/pieces/two";
    public const string Three = "studios/alder/pieces/three";
    public const string OldLot = "studios/alder/lots/deep-a-lot";
    public const string NewLot = "studios/alder/lots/new-a-lot";

    /// <summary>Everybody who has a hand in it.</summary>
    public static readonly string[] Names = ["Ivo", "Ana", "Ben", "Cleo", "Olive", "Asa", "Rui"];

    private const string EastBench = $"{East}/benches/table";

    private V1.LotService.LotServiceClient _lots = null!;
    private V1.PieceService.PieceServiceClient _pieces = null!;
    private V1.MixService.MixServiceClient _mixes = null!;

    public StudioHarness Harness { get; private set; } = null!;

    public async Task InitializeAsync()
    {
        Harness = await StudioHarness.StartAsync(null, $"--Labels:Address={Address}");
        (_lots, _mixes, _pieces) = (new(Harness.Channel), new(Harness.Channel), new(Harness.Channel));
        await SampleStudio.CreateAsync(Harness);
        await CreateEastAsync();
        await ReceiveAsync();
        await PourAsync();
        await KeepAsync();
        await Harness.SettleAsync();
    }

    public async Task DisposeAsync() => await Harness.DisposeAsync();

    /// <summary>A document, its summary, and the longest of its parts.</summary>
    public async Task<(byte[] Document, ExportSummary Summary, int LongestPart)> ExportAsync(ExportRecordsRequest request)
    {
        using var call = new V1.ExportService.ExportServiceClient(Harness.Channel).ExportRecords(request);
        using var document = new MemoryStream();
        var (summary, longest) = (new ExportSummary(), 0);
        await foreach (var answer in call.ResponseStream.ReadAllAsync())
        {
            answer.Data.WriteTo(document);
            (summary, longest) = (answer.Summary ?? summary, Math.Max(longest, answer.CalculateSize()));
        }
        return (document.ToArray(), summary, longest);
    }

    public async Task MixAsync(string id, string site, string a, string b, long massMg, Timestamp? at = null) => await _mixes.RecordMixAsync(new()
    {
        Parent = SampleStudio.Name,
        MixId = id,
        Mix = new()
        {
            Site = site,
            ResinSystem = SampleStudio.Deep,
            Mixer = "Ivo",
            Scale = "Rui's scale",
            MixTime = at,
            // 100 : 42 by mass.
            Draws = { new Mix.Types.Draw { Container = Can(a), MassMg = massMg }, new Mix.Types.Draw { Container = Can(b), MassMg = massMg * 42 / 100 } },
        },
    });

    private async Task CreateEastAsync()
    {
        var sites = new V1.SiteService.SiteServiceClient(Harness.Channel);
        await sites.CreateSiteAsync(new() { Parent = SampleStudio.Name, SiteId = "east", Site = new() { DisplayName = "East", TimeZone = "Asia/Kathmandu" } });
        await sites.CreateBenchAsync(new() { Parent = East, BenchId = "table", Bench = new() { DisplayName = "Table", PlannedTemperatureCelsius = 22 } });
    }

    private async Task ReceiveAsync()
    {
        await SampleStudio.ReceiveLotsAsync(Harness);
        await _lots.ReceiveLotAsync(new()
        {
            Parent = SampleStudio.Name,
            LotId = "new-a-lot",
            LabelConfirmed = true,
            Lot = new()
            {
                Part = Part.A, ResinSystem = SampleStudio.Deep, Supplier = "Harbour Supplies", SupplierLotCode = "A2602-17",
                LabelText = "]d20109506000134352" + "17271231" + "11260201" + "10A2602-17",
            },
            Containers = { new ContainerReceipt { ContainerId = "new-a1", Site = SampleStudio.North, ReceivedMassMg = 10_000_000 } },
        });
        await PieceAsync(One, SampleStudio.North, "Ana");
        await PieceAsync(Two, SampleStudio.North, "Ben");
        await PieceAsync(Three, East, "Cleo");
    }

    private async Task PourAsync()
    {
        await MixAsync("before", SampleStudio.North, "deep-a1", "deep-b1", 1_000_000);
        await PourAsync(One, "before", SampleStudio.NorthBench, 600_000);
        await PourAsync(Two, "before", SampleStudio.NorthBench, 800_000);
        Harness.Clock.Advance(TimeSpan.FromHours(1));
        await _lots.TopUpContainerAsync(new() { Name = Can("deep-a1"), Source = Can("new-a1"), MassMg = 6_000_000 });
        await TakeEastAsync("deep-a1", "jug-a", 5_000_000);
        await TakeEastAsync("deep-b1", "jug-b", 2_000_000);
        await MixAsync("east", East, "jug-a", "jug-b", 1_000_000);
        await PourAsync(Three, "east", EastBench, 710_000);
        Harness.Clock.Advance(TimeSpan.FromHours(3));
        await MixAsync("after", SampleStudio.North, "deep-a1", "deep-b1", 500_000);
        await PourAsync(One, "after", SampleStudio.NorthBench, 355_000);
        await _mixes.DiscardMixAsync(new() { Name = "studios/alder/mixes/after", MassMg = 142_000 });
        await Harness.SettleAsync();
        Harness.Clock.Advance(TimeSpan.FromHours(44));
    }

    private async Task KeepAsync()
    {
        await ReadRoomAsync();
        await _pieces.RecordCheckAsync(new() { Parent = One, Check = new() { Touch = Check.Types.Touch.Firm, ShoreD = 71, Checker = "Ivo", Note = "Ana is happy" } });
        foreach (var piece in (string[])[One, Two])
            await _pieces.RecordStepAsync(new() { Parent = piece, Step = new() { Kind = Step.Types.Kind.Demold, Worker = "Ivo" } });
        await new V1.DefectService.DefectServiceClient(Harness.Channel).ReportDefectAsync(new()
        {
            Parent = SampleStudio.Name,
            Defect = new() { Piece = Two, Kind = Defect.Types.Kind.SoftPatches, Finder = "Ben", Note = "Ben pressed it" },
        });
        await _pieces.RecordStepAsync(new() { Parent = Two, Step = new() { Kind = Step.Types.Kind.Scrap, Worker = "Olive", Note = "Olive said so" } });
        Harness.Clock.Advance(TimeSpan.FromMinutes(10));
        await _lots.HoldLotAsync(new() { Name = OldLot, Reason = "Ben's piece is soft" });
        Harness.Clock.Advance(TimeSpan.FromMinutes(10));
        await _lots.ReleaseLotAsync(new() { Name = OldLot, Reason = "Asa found the heater off" });
        await _pieces.HoldPieceAsync(new() { Name = One, Reason = "Ben asked for it", Person = "Olive" });
        Harness.Clock.Advance(TimeSpan.FromMinutes(10));
        await _pieces.ReleasePieceAsync(new() { Name = One, Reason = "Ben is content", Person = "Olive" });
        await _lots.WeighBackContainerAsync(new() { Name = Can("deep-b1"), RemainingMassMg = 6_300_000 });
        await _lots.DiscardContainerAsync(new() { Name = Can("new-a1"), Reason = "Ana spilt it" });
    }

    private async Task PieceAsync(string name, string site, string maker) => await _pieces.CreatePieceAsync(new()
    {
        Parent = SampleStudio.Name, PieceId = name.Split('/')[^1], Piece = new() { Site = site, Label = name.Split('/')[^1], Maker = maker, CastingClass = "Cleo's Tuesday" },
    });

    private async Task TakeEastAsync(string from, string jug, long massMg)
    {
        await _lots.DecantContainerAsync(new() { Name = Can(from), ContainerId = jug, MassMg = massMg });
        await _lots.MoveContainerAsync(new() { Name = Can(jug), Site = East });
    }

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
            Enumerable.Range(0, 49).Select(hour => new Reading
            {
                Sensor = SampleStudio.NorthSensor, ReadingTime = Timestamp.FromDateTimeOffset(StudioHarness.Start.AddHours(hour)),
                TemperatureCelsius = 18 + hour % 2 * 4, RelativeHumidityPercent = 50,
            }),
        },
    });

    private static string Can(string id) => $"studios/alder/containers/{id}";
}
