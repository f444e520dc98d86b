using Google.Protobuf.WellKnownTypes;
using Google.Type;
using Grpc.Net.Client;
using Pourwright.V1;

namespace Pourwright.Host.Demo;

/// <summary>The invented studio of the season, Kelpworks, with three sites and six instructors; everything goes through the public API.</summary>
public sealed class SeasonStudio(GrpcChannel channel)
{
    public const string Name = "studios/kelpworks";
    public const string Owner = "Petra";
    private const string System = $"{Name}/resinSystems/river";
    private const long DrumMg = 60_000_000, CanMg = 40_000_000, SmallCanMg = 12_000_000, PourMg = 870_000;

    private static readonly string[] FirstNames =
        ["Aoife", "Bilal", "Chidi", "Dana", "Emre", "Farah", "Goran", "Hana", "Ines", "Jomo", "Kaja", "Liam", "Mira", "Nuno", "Olga", "Pavel", "Quin", "Rosa", "Sami", "Tove", "Una", "Vito", "Wanda", "Xenia", "Yara"];

    private static readonly string[] LastNames =
        ["Ash", "Birch", "Cole", "Dune", "Elm", "Fenn", "Gale", "Heath", "Isle", "Jay", "Knoll", "Larch", "Moss", "North", "Oak", "Pine", "Quill", "Reed", "Stone", "Thorn", "Umber", "Vale", "West", "Yew"];

    public LotService.LotServiceClient Lots { get; } = new(channel);
    public MixService.MixServiceClient Mixes { get; } = new(channel);
    public PieceService.PieceServiceClient Pieces { get; } = new(channel);
    public ClimateService.ClimateServiceClient Climate { get; } = new(channel);
    public ReminderService.ReminderServiceClient Reminders { get; } = new(channel);
    public DefectService.DefectServiceClient Defects { get; } = new(channel);
    public SuspectService.SuspectServiceClient Suspects { get; } = new(channel);
    public RecallService.RecallServiceClient Recalls { get; } = new(channel);
    public ReportService.ReportServiceClient Reports { get; } = new(channel);

    public static string Site(string id) => $"{Name}/sites/{id}";

    public static string Lot(string id) => $"{Name}/lots/{id}";

    public static string Piece(int number) => $"{Name}/pieces/piece-{number:000}";

    public static string Container(string lot, string site) => $"{Name}/containers/{lot}-{site}";

    /// <summary>Who makes a piece; no two have the same name.</summary>
    public static string Maker(int piece) => $"{FirstNames[(piece - 1) % FirstNames.Length]} {LastNames[(piece - 1) / FirstNames.Length % LastNames.Length]}";

    public static string NewId() => Guid.NewGuid().ToString();

    public async Task FoundAsync(SeasonPlan plan)
    {
        await new StudioService.StudioServiceClient(channel).CreateStudioAsync(new() { StudioId = "kelpworks", Studio = new() { DisplayName = "Kelpworks" }, RequestId = NewId() });
        await new ResinService.ResinServiceClient(channel).CreateResinSystemAsync(
            new() { Parent = Name, ResinSystemId = "river", ResinSystem = DemoStudio.River(), RequestId = NewId() });
        await new OfferingService.OfferingServiceClient(channel).CreateOfferingAsync(new()
        {
            Parent = Name, OfferingId = "tray", RequestId = NewId(),
            Offering = new() { DisplayName = "Tray", ResinSystem = System, DepthMm = 30, LengthMm = 300, WidthMm = 200, WoodShareRatio = 0.5, SeatCount = 6 },
        });
        foreach (var (site, instructors) in SeasonPlan.Sites) await FoundSiteAsync(site, instructors);
        foreach (var lot in (string[])["a-2609", "a-2610", "a-2701"]) await ReceiveAsync(lot, Part.A, DrumMg);
        foreach (var lot in (string[])["b-2611", "b-2701"]) await ReceiveAsync(lot, Part.B, CanMg);
        await ReceiveAsync(SeasonPlan.BadLot, Part.B, SmallCanMg);
        await AskStudentsAsync(plan);
    }

    /// <summary>One class: it gets its two days, students mix in pairs, each pours a tray.</summary>
    /// <returns>The B lot that it was poured with.</returns>
    public async Task<string> PourAsync(SeasonPlan plan, SeasonClass held)
    {
        var (lotA, lotB) = (SeasonPlan.LotA(held.Site, held.Day), SeasonPlan.LotB(held.Site, held.Day));
        await ScheduleAsync(held);
        foreach (var pair in held.Pieces.Chunk(2))
        {
            var mix = await MixAsync(plan, held, pair, lotA, lotB);
            foreach (var piece in pair) await PourAsync(held, piece, mix);
            await Mixes.DiscardMixAsync(new() { Name = mix.Name, MassMg = mix.RemainingMassMg - pair.Length * PourMg, RequestId = NewId() });
        }
        return lotB;
    }

    public async Task StepAsync(int piece, Step.Types.Kind kind, string worker) => await Pieces.RecordStepAsync(
        new() { Parent = Piece(piece), Step = new() { Kind = kind, Worker = worker }, RequestId = NewId() });

    public async Task ReadOutAsync(string site, DateTimeOffset from, DateTimeOffset to) => await Climate.RecordReadingsAsync(new()
    {
        Parent = Site(site), RequestId = NewId(),
        Readings =
        {
            Enumerable.Range(0, (int)(to - from).TotalHours).Select(hour => from.AddHours(hour)).Select(time => new Reading
            {
                Sensor = $"{Site(site)}/sensors/logger",
                ReadingTime = Timestamp.FromDateTimeOffset(time),
                TemperatureCelsius = Math.Round(SeasonPlan.AirCelsius(site, time), 1),
                RelativeHumidityPercent = Math.Round(58 + 2 * (20 - SeasonPlan.AirCelsius(site, time))),
            }),
        },
    });

    private async Task<Mix> MixAsync(SeasonPlan plan, SeasonClass held, int[] pair, string lotA, string lotB) => await Mixes.RecordMixAsync(new()
    {
        Parent = Name, MixId = $"mix-{pair[0]:000}", RequestId = NewId(),
        Mix = new()
        {
            Site = Site(held.Site), ResinSystem = System, Mixer = Maker(pair[0]), Scale = $"{held.Site}-scale", TemperatureCelsius = 21,
            Draws =
            {
                new Mix.Types.Draw { Container = Container(lotA, held.Site), MassMg = 625_000 * pair.Length },
                new Mix.Types.Draw { Container = Container(lotB, held.Site), MassMg = (long)(500 * plan.GramsB()) * pair.Length },
            },
        },
    });

    private async Task PourAsync(SeasonClass held, int piece, Mix mix)
    {
        await Pieces.CreatePieceAsync(new()
        {
            Parent = Name, PieceId = $"piece-{piece:000}", RequestId = NewId(),
            Piece = new()
            {
                Site = Site(held.Site), Label = $"{piece:000}", Maker = Maker(piece), CastingClass = $"{Name}/classes/{held.Id}",
                Mould = $"mould {piece % 20 + 1}", WoodSpecies = "ash", WoodMoisturePercent = 9, PlannedSessionTime = Timestamp.FromDateTimeOffset(SeasonClock.At(held.MachineDay, 14)),
            },
        });
        await Pieces.RecordPourAsync(new()
        {
            Parent = Piece(piece), PourId = "pour-1", RequestId = NewId(),
            Pour = new() { Mix = mix.Name, Bench = $"{Site(held.Site)}/benches/shelf", MassMg = PourMg, DepthMm = 30, Pourer = Maker(piece) },
        });
    }

    private async Task FoundSiteAsync(string id, string[] instructors)
    {
        var sites = new SiteService.SiteServiceClient(channel);
        await sites.CreateSiteAsync(new()
        {
            Parent = Name, SiteId = id, RequestId = NewId(),
            Site = new()
            {
                DisplayName = Called(id), TimeZone = SeasonClock.Zone.Id,
                Contacts =
                {
                    new Contact { Role = Contact.Types.Role.Owner, DisplayName = Owner, Email = Address(Owner) },
                    new Contact { Role = Contact.Types.Role.Instructor, DisplayName = Called(instructors[0]), Email = Address(instructors[0]) },
                },
            },
        });
        await sites.CreateBenchAsync(new() { Parent = Site(id), BenchId = "shelf", RequestId = NewId(), Bench = new() { DisplayName = "Curing shelf", PlannedTemperatureCelsius = id == "loft" ? 18 : 21 } });
        await sites.CreateSensorAsync(new()
        {
            Parent = Site(id), SensorId = "logger", RequestId = NewId(),
            Sensor = new() { DisplayName = "Logger on the shelf", Bench = $"{Site(id)}/benches/shelf", ReportInterval = Duration.FromTimeSpan(TimeSpan.FromHours(1)) },
        });
        await Recalls.SetScaleAsync(new() { Parent = Site(id), Scale = new() { Label = $"{id}-scale", ResolutionMassMg = 1_000, PotResidueMassMg = 20_000 }, RequestId = NewId() });
        var people = new InstructorService.InstructorServiceClient(channel);
        foreach (var instructor in instructors)
            await people.CreateInstructorAsync(new()
            {
                Parent = Name, InstructorId = instructor, RequestId = NewId(),
                Instructor = new() { DisplayName = Called(instructor), Email = Address(instructor), HomeSite = Site(id), Offerings = { $"{Name}/offerings/tray" }, FarthestTravelDuration = Duration.FromTimeSpan(TimeSpan.FromHours(2)) },
            });
    }

    private async Task ReceiveAsync(string id, Part part, long massMg) => await Lots.ReceiveLotAsync(new()
    {
        Parent = Name, LotId = id, RequestId = NewId(),
        Lot = new() { Part = part, ResinSystem = System, Supplier = "Estuary Chandlers", SupplierLotCode = id.ToUpperInvariant(), ExpiryDate = new() { Year = 2028, Month = 1, Day = 1 } },
        Containers =
        {
            SeasonPlan.Sites.Where(each => id != SeasonPlan.BadLot || each.Site != SeasonPlan.Sites[^1].Site)
                .Select(each => new ContainerReceipt { ContainerId = $"{id}-{each.Site}", Site = Site(each.Site), ReceivedMassMg = massMg }),
        },
    });

    /// <summary>One maker in twelve gave no address, one in twelve wants no messages.</summary>
    private async Task AskStudentsAsync(SeasonPlan plan)
    {
        var students = new StudentService.StudentServiceClient(channel);
        for (var piece = 1; piece <= plan.Pieces; piece++)
            await students.CreateStudentAsync(new()
            {
                Parent = Name, StudentId = $"maker-{piece:000}", RequestId = NewId(),
                Student = new() { DisplayName = Maker(piece), ContactEmail = piece % 12 == 5 ? "" : $"maker-{piece:000}@kelpworks.example", ConsentToMessages = piece % 12 != 9 },
            });
    }

    private async Task ScheduleAsync(SeasonClass held)
    {
        var classes = new ClassService.ClassServiceClient(channel);
        await classes.CreateCastingClassAsync(new()
        {
            Parent = Name, CastingClassId = held.Id, RequestId = NewId(),
            CastingClass = new() { DisplayName = $"Tray {held.Number}", Offering = $"{Name}/offerings/tray", Sites = { Site(held.Site) }, FirstDate = Date(held.Day), LastDate = Date(held.Day) },
        });
        await classes.ScheduleSessionsAsync(new()
        {
            Name = $"{Name}/classes/{held.Id}", RequestId = NewId(),
            Sessions = { Session(held, V1.Session.Types.Kind.Pour, held.Day, hour: 10), Session(held, V1.Session.Types.Kind.Machine, held.MachineDay, hour: 14) },
        });
    }

    private static SessionTime Session(SeasonClass held, V1.Session.Types.Kind kind, DateOnly day, int hour) => new()
    {
        Kind = kind, Site = Site(held.Site), Date = Date(day), StartTimeOfDay = new() { Hours = hour }, Instructor = $"{Name}/instructors/{held.Instructor}",
    };

    private static Date Date(DateOnly day) => new() { Year = day.Year, Month = day.Month, Day = day.Day };

    private static string Address(string who) => $"{who.ToLowerInvariant()}@kelpworks.example";

    public static string Called(string id) => char.ToUpperInvariant(id[0]) + id[1..];
}
