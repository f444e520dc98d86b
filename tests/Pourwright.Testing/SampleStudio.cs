using Google.Protobuf.WellKnownTypes;
using Grpc.Net.Client;
using Pourwright.V1;

namespace Pourwright.Testing;

/// <summary>An invented studio to start a test from: two sites, two resin systems by mass and by volume, lots and a bench with a sensor each.</summary>
public static class SampleStudio
{
    public const string Name = "studios/alder";
    public const string North = "studios/alder/sites/north";
    public const string South = "studios/alder/sites/south";
    public const string NorthBench = "studios/alder/sites/north/benches/shelf";
    public const string SouthBench = "studios/alder/sites/south/benches/shelf";
    public const string NorthSensor = "studios/alder/sites/north/sensors/shelf-logger";
    public const string SouthSensor = "studios/alder/sites/south/sensors/shelf-logger";

    /// <summary>By mass, 100 : 42, tolerance 2 %, 40 mm deep and 5 kg a batch at most; both limits refuse.</summary>
    public const string Deep = "studios/alder/resinSystems/deep";

    /// <summary>By volume, 2 : 1, densities 1150 and 960 kg/m3, tolerance 3 %; limits warn.</summary>
    public const string Coat = "studios/alder/resinSystems/coat";

    public const string DeepA = "studios/alder/containers/deep-a1";
    public const string DeepB = "studios/alder/containers/deep-b1";

    /// <summary>Makes the studio with its sites, benches, sensors and resin systems.</summary>
    public static Task CreateAsync(StudioHarness harness) => CreateAsync(harness.Channel);

    /// <inheritdoc cref="CreateAsync(StudioHarness)"/>
    public static async Task CreateAsync(GrpcChannel channel)
    {
        await new StudioService.StudioServiceClient(channel).CreateStudioAsync(
            new() { StudioId = "alder", Studio = new() { DisplayName = "Alder" } });
        await CreateSiteAsync(channel, "north");
        await CreateSiteAsync(channel, "south");
        await CreateResinSystemsAsync(channel);
    }

    /// <summary>Receives one lot of A (20 kg) and one of B (9 kg) of <see cref="Deep"/> at the north site, in one container each.</summary>
    public static async Task ReceiveLotsAsync(StudioHarness harness)
    {
        await ReceiveAsync(harness.Channel, Deep, "deep-a-lot", Part.A, "deep-a1", 20_000_000);
        await ReceiveAsync(harness.Channel, Deep, "deep-b-lot", Part.B, "deep-b1", 9_000_000);
    }

    /// <summary>Receives one lot of a resin system at the north site, in one container.</summary>
    public static async Task ReceiveAsync(GrpcChannel channel, string system, string lot, Part part, string container, long massMg) =>
        await new LotService.LotServiceClient(channel).ReceiveLotAsync(new()
        {
            Parent = Name,
            LotId = lot,
            Lot = new() { Part = part, ResinSystem = system, Supplier = "Harbour Supplies", SupplierLotCode = lot.ToUpperInvariant() },
            Containers = { new ContainerReceipt { ContainerId = container, Site = North, ReceivedMassMg = massMg } },
        });

    private static async Task CreateSiteAsync(GrpcChannel channel, string id)
    {
        var sites = new SiteService.SiteServiceClient(channel);
        var site = await sites.CreateSiteAsync(new()
        {
            Parent = Name,
            SiteId = id,
            Site = new()
            {
                DisplayName = id,
                TimeZone = "Europe/Lisbon",
                Contacts =
                {
                    new Contact { Role = Contact.Types.Role.Owner, DisplayName = "Olive", Email = "olive@alder.example" },
                    new Contact { Role = Contact.Types.Role.Instructor, DisplayName = "Ivo", Email = "ivo@alder.example" },
                    new Contact { Role = Contact.Types.Role.Assistant, DisplayName = "Asa" },
                },
            },
        });
        var bench = await sites.CreateBenchAsync(
            new() { Parent = site.Name, BenchId = "shelf", Bench = new() { DisplayName = "Shelf", PlannedTemperatureCelsius = 20 } });
        await sites.CreateSensorAsync(new()
        {
            Parent = site.Name,
            SensorId = "shelf-logger",
            Sensor = new() { DisplayName = "Shelf logger", Bench = bench.Name, ReportInterval = Duration.FromTimeSpan(TimeSpan.FromHours(1)) },
        });
    }

    private static async Task CreateResinSystemsAsync(GrpcChannel channel)
    {
        var resins = new ResinService.ResinServiceClient(channel);
        await resins.CreateResinSystemAsync(new()
        {
            Parent = Name,
            ResinSystemId = "deep",
            ResinSystem = new()
            {
                DisplayName = "Deep casting",
                Basis = ResinSystem.Types.Basis.Mass,
                HardenerPartsPer100Resin = 42,
                RatioTolerancePercent = 2,
                CureClass = ResinSystem.Types.CureClass.DeepCasting,
                MaxDepthMm = 40,
                DepthLimitAction = ResinSystem.Types.LimitAction.Refuse,
                MaxBatchMassMg = 5_000_000,
                BatchLimitAction = ResinSystem.Types.LimitAction.Refuse,
                MinCureTemperatureCelsius = 15,
                OpenedShelfLife = Duration.FromTimeSpan(TimeSpan.FromDays(180)),
                DataSheet = DeepSheet(),
            },
        });
        await resins.CreateResinSystemAsync(new()
        {
            Parent = Name,
            ResinSystemId = "coat",
            ResinSystem = new()
            {
                DisplayName = "Seal coat",
                Basis = ResinSystem.Types.Basis.Volume,
                HardenerPartsPer100Resin = 50,
                RatioTolerancePercent = 3,
                ADensityKgPerM3 = 1150,
                BDensityKgPerM3 = 960,
                CureClass = ResinSystem.Types.CureClass.FastCoating,
                MaxDepthMm = 6,
                DepthLimitAction = ResinSystem.Types.LimitAction.Warn,
                DataSheet = CoatSheet(),
            },
        });
    }

    /// <summary>Invented figures of a slow resin.</summary>
    private static DataSheet DeepSheet() => new()
    {
        Version = "1",
        PotLife = Hours(6),
        PotLifeBatchMassMg = 1_500_000,
        PotLifeTemperatureCelsius = 22,
        GelTime = Hours(28),
        GelTemperatureCelsius = 22,
        DemoldTime = Hours(36),
        DemoldDepthMm = 40,
        DemoldTemperatureCelsius = 22,
        FullCureTime = Hours(120),
        FullCureTemperatureCelsius = 22,
        PeakTemperatureCelsius = 38,
        PeakDepthMm = 40,
        PeakRoomTemperatureCelsius = 22,
    };

    /// <summary>Invented figures of a quick resin.</summary>
    private static DataSheet CoatSheet() => new()
    {
        Version = "1",
        GelTime = Hours(4),
        GelTemperatureCelsius = 23,
        DemoldTime = Hours(9),
        DemoldDepthMm = 6,
        DemoldTemperatureCelsius = 20,
    };

    private static Duration Hours(double hours) => Duration.FromTimeSpan(TimeSpan.FromHours(hours));
}
