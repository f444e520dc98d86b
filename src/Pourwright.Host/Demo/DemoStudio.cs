using Google.Protobuf.WellKnownTypes;
using Google.Type;
using Grpc.Core;
using Grpc.Net.Client;
using Pourwright.V1;

namespace Pourwright.Host.Demo;

/// <summary>An invented studio, Saltmarsh, with two sites, played through the public API alone.</summary>
public sealed class DemoStudio(GrpcChannel channel)
{
    public const string Name = "studios/saltmarsh";
    public const string System = $"{Name}/resinSystems/river";

    public SiteService.SiteServiceClient Sites { get; } = new(channel);
    public LotService.LotServiceClient Lots { get; } = new(channel);
    public MixService.MixServiceClient Mixes { get; } = new(channel);
    public PieceService.PieceServiceClient Pieces { get; } = new(channel);
    public ClimateService.ClimateServiceClient Climate { get; } = new(channel);
    public CureService.CureServiceClient Cure { get; } = new(channel);
    public ForecastService.ForecastServiceClient Forecasts { get; } = new(channel);
    public LearningService.LearningServiceClient Learning { get; } = new(channel);
    public ReminderService.ReminderServiceClient Reminders { get; } = new(channel);
    public DefectService.DefectServiceClient Defects { get; } = new(channel);
    public TraceService.TraceServiceClient Traces { get; } = new(channel);

    public static string Site(string id) => $"{Name}/sites/{id}";

    public static string Bench(string site) => $"{Site(site)}/benches/shelf";

    public static string Sensor(string site) => $"{Site(site)}/sensors/logger";

    public static string Container(string id) => $"{Name}/containers/{id}";

    public static string Piece(int number) => $"{Name}/pieces/piece-{number}";

    public async Task FoundAsync()
    {
        await new StudioService.StudioServiceClient(channel).CreateStudioAsync(
            new() { StudioId = "saltmarsh", Studio = new() { DisplayName = "Saltmarsh" }, RequestId = NewId() });
        await FoundSiteAsync("quay", "Quay", "Imke");
        await FoundSiteAsync("mill", "Mill", "Joss");
        await new ResinService.ResinServiceClient(channel).CreateResinSystemAsync(
            new() { Parent = Name, ResinSystemId = "river", ResinSystem = River(), RequestId = NewId() });
    }

    public async Task ReceiveLotAsync(string id, Part part, Date expiry, params (string Container, string Site, long MassMg)[] containers)
    {
        var lot = new Lot { Part = part, ResinSystem = part == Part.Pigment ? "" : System, Supplier = "Estuary Chandlers", SupplierLotCode = id.ToUpperInvariant(), ExpiryDate = expiry };
        await Lots.ReceiveLotAsync(new()
        {
            Parent = Name,
            LotId = id,
            Lot = lot,
            Containers = { containers.Select(c => new ContainerReceipt { ContainerId = c.Container, Site = Site(c.Site), ReceivedMassMg = c.MassMg }) },
            RequestId = NewId(),
        });
    }

    public AsyncUnaryCall<Mix> RecordMixAsync(string id, string site, string mixer, double temperatureCelsius, params (string Container, long MassMg)[] draws) =>
        Mixes.RecordMixAsync(new()
        {
            Parent = Name,
            MixId = id,
            RequestId = NewId(),
            Mix = new()
            {
                Site = Site(site),
                ResinSystem = System,
                Mixer = mixer,
                Scale = $"{site}-scale",
                TemperatureCelsius = temperatureCelsius,
                Draws = { draws.Select(d => new Mix.Types.Draw { Container = Container(d.Container), MassMg = d.MassMg }) },
            },
        });

    public AsyncUnaryCall<Check> TouchAsync(int piece, Check.Types.Touch touch, string checker) => Pieces.RecordCheckAsync(
        new() { Parent = Piece(piece), Check = new() { Touch = touch, Checker = checker, Note = "thinnest edge, coldest side" }, RequestId = NewId() });

    public AsyncUnaryCall<Step> StepAsync(int piece, Step.Types.Kind kind, string worker) => Pieces.RecordStepAsync(
        new() { Parent = Piece(piece), Step = new() { Kind = kind, Worker = worker }, RequestId = NewId() });

    public static string NewId() => Guid.NewGuid().ToString();

    private async Task FoundSiteAsync(string id, string displayName, string instructor)
    {
        var site = await Sites.CreateSiteAsync(new()
        {
            Parent = Name,
            SiteId = id,
            RequestId = NewId(),
            Site = new()
            {
                DisplayName = displayName,
                TimeZone = "Europe/Dublin",
                Contacts =
                {
                    new Contact { Role = Contact.Types.Role.Owner, DisplayName = "Petra" },
                    new Contact { Role = Contact.Types.Role.Instructor, DisplayName = instructor },
                },
            },
        });
        await Sites.CreateBenchAsync(new() { Parent = site.Name, BenchId = "shelf", Bench = new() { DisplayName = "Curing shelf" }, RequestId = NewId() });
        await Sites.CreateSensorAsync(new()
        {
            Parent = site.Name,
            SensorId = "logger",
            Sensor = new() { DisplayName = "Logger on the shelf", Bench = Bench(id), ReportInterval = Duration.FromTimeSpan(TimeSpan.FromHours(1)) },
            RequestId = NewId(),
        });
    }

    /// <summary>An invented data sheet of a deep casting resin.</summary>
    public static ResinSystem River() => new()
    {
        DisplayName = "River casting",
        Basis = ResinSystem.Types.Basis.Mass,
        HardenerPartsPer100Resin = 42,
        RatioTolerancePercent = 2,
        CureClass = ResinSystem.Types.CureClass.DeepCasting,
        MaxDepthMm = 45,
        DepthLimitAction = ResinSystem.Types.LimitAction.Refuse,
        MaxBatchMassMg = 3_000_000,
        BatchLimitAction = ResinSystem.Types.LimitAction.Refuse,
        MinCureTemperatureCelsius = 16,
        OpenedShelfLife = Duration.FromTimeSpan(TimeSpan.FromDays(180)),
        DataSheet = new()
        {
            Version = "3",
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
            MaxDepthTemperatureCelsius = 22,
        },
    };

    private static Duration Hours(double hours) => Duration.FromTimeSpan(TimeSpan.FromHours(hours));
}
