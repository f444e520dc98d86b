using Google.Protobuf.WellKnownTypes;
using Google.Type;
using Grpc.Net.Client;
using Pourwright.V1;
using DayOfWeek = Google.Type.DayOfWeek;

namespace Pourwright.Testing;

/// <summary>An invented chain of five sites in four time zones, with what they teach, who teaches, and classes that people ask for.</summary>
/// <remarks>Everything follows from its number, so that the same chain comes about on every machine. All of it goes over the protocol.</remarks>
public static class SampleChain
{
    public const string Name = "studios/willow";

    /// <summary>A Monday ten days after <see cref="StudioHarness.Start"/>.</summary>
    public static readonly DateOnly FirstDay = new(2026, 2, 16);

    public const int PourDays = 28;

    /// <summary>Boards of 30 mm with a day for the oil; trays of 25 mm; coasters of 6 mm of a quick resin.</summary>
    public const string Board = "studios/willow/offerings/board", Tray = "studios/willow/offerings/tray", Coaster = "studios/willow/offerings/coaster";

    private static readonly (string Id, string Name, string Zone, int Rooms, int Planers, int BenchPlaces, double Celsius)[] Sites =
    [
        ("harbour", "Harbour", "Europe/Lisbon", 2, 2, 24, 22), ("mill", "Mill", "Europe/Madrid", 1, 1, 16, 21),
        ("quarry", "Quarry", "Europe/Paris", 1, 1, 16, 20), ("orchard", "Orchard", "Europe/Athens", 1, 1, 12, 21),
        ("pier", "Pier", "Europe/Lisbon", 1, 1, 12, 19),
    ];

    private static readonly (string Id, string Name, int Home, string[] Teaches, int DaysAWeek)[] Instructors =
    [
        ("ana", "Ana", 0, [Board, Tray, Coaster], 5), ("bea", "Bea", 0, [Tray, Coaster], 4), ("carlos", "Carlos", 1, [Board, Tray], 5),
        ("dora", "Dora", 2, [Board, Tray, Coaster], 5), ("emil", "Emil", 3, [Board, Coaster], 4), ("filipa", "Filipa", 4, [Tray, Coaster], 5),
        ("goran", "Goran", 3, [Tray], 3),
    ];

    public const string Deep = "studios/willow/resinSystems/deep", Quick = "studios/willow/resinSystems/quick";

    /// <summary>What <see cref="ReceiveAsync"/> receives.</summary>
    public const string DeepA = "studios/willow/containers/deep-a", DeepB = "studios/willow/containers/deep-b";

    public static string Site(int index) => $"{Name}/sites/{Sites[index].Id}";

    public static string Instructor(string id) => $"{Name}/instructors/{id}";

    public static string Class(int number) => $"{Name}/classes/class-{number:00}";

    /// <summary>The chain without classes.</summary>
    public static async Task CreateAsync(GrpcChannel channel)
    {
        await new StudioService.StudioServiceClient(channel).CreateStudioAsync(new() { StudioId = "willow", Studio = new() { DisplayName = "Willow" } });
        for (var i = 0; i < Sites.Length; i++) await CreateSiteAsync(new(channel), i);
        await CreateTravelAsync(new(channel));
        await CreateResinsAsync(new(channel));
        await CreateOfferingsAsync(new(channel));
        var people = new InstructorService.InstructorServiceClient(channel);
        foreach (var who in Instructors)
            await people.CreateInstructorAsync(new()
            {
                Parent = Name, InstructorId = who.Id,
                Instructor = new()
                {
                    DisplayName = who.Name, Email = $"{who.Id}@willow.example", HomeSite = Site(who.Home), Offerings = { who.Teaches },
                    WeeklyDayCount = who.DaysAWeek, FarthestTravelDuration = Minutes(120),
                },
            });
    }

    /// <summary>Asks for classes 0 to <paramref name="count"/> − 1: by turns of each kind and at each site, some at a second one, some at weekends only.</summary>
    public static Task AskForAsync(GrpcChannel channel, int count, DateOnly? firstDay = null) => AskForMoreAsync(channel, 0, count, firstDay);

    /// <summary>Asks for so many classes from a number on.</summary>
    public static async Task AskForMoreAsync(GrpcChannel channel, int first, int count, DateOnly? firstDay = null)
    {
        var classes = new ClassService.ClassServiceClient(channel);
        for (var i = first; i < first + count; i++)
            await classes.CreateCastingClassAsync(new() { Parent = Name, CastingClassId = $"class-{i:00}", CastingClass = Asked(i, firstDay ?? FirstDay) });
    }

    /// <summary>Receives a lot of each part of <see cref="Deep"/> at a site, 20 and 9 kg, in one container each.</summary>
    public static async Task ReceiveAsync(GrpcChannel channel, string site)
    {
        var lots = new LotService.LotServiceClient(channel);
        foreach (var (id, part, massMg) in new[] { ("deep-a", Part.A, 20_000_000L), ("deep-b", Part.B, 9_000_000L) })
            await lots.ReceiveLotAsync(new()
            {
                Parent = Name, LotId = $"{id}-lot",
                Lot = new() { Part = part, ResinSystem = Deep, Supplier = "Harbour Supplies", SupplierLotCode = id },
                Containers = { new ContainerReceipt { ContainerId = id, Site = site, ReceivedMassMg = massMg } },
            });
    }

    private static CastingClass Asked(int i, DateOnly firstDay)
    {
        var first = firstDay.AddDays(7 * (i % 3));
        var asked = new CastingClass
        {
            DisplayName = $"Class {i}",
            Offering = (i % 3) switch { 0 => Board, 1 => Tray, _ => Coaster },
            SeatCount = 4 + i % 4,
            Sites = { Site(i % 5) },
            FirstDate = Date(first),
            LastDate = Date(first.AddDays(13)),
            FavouriteDate = Date(first.AddDays(i % 7)),
        };
        if (i % 2 == 0) asked.Sites.Add(Site((i + 1) % 5));
        if (i % 4 != 3) return asked;
        asked.Weekdays.Add([DayOfWeek.Friday, DayOfWeek.Saturday, DayOfWeek.Sunday]);
        asked.FavouriteDate = Date(first.AddDays(5));
        return asked;
    }

    private static async Task CreateSiteAsync(SiteService.SiteServiceClient sites, int index)
    {
        var (id, name, zone, rooms, planers, places, celsius) = Sites[index];
        var site = await sites.CreateSiteAsync(new()
        {
            Parent = Name, SiteId = id,
            Site = new()
            {
                DisplayName = name, TimeZone = zone,
                Contacts = { new Contact { Role = Contact.Types.Role.Owner, DisplayName = "Olive", Email = "olive@willow.example" } },
            },
        });
        await sites.CreateBenchAsync(new()
        {
            Parent = site.Name, BenchId = "shelf", Bench = new() { DisplayName = "Shelf", PlannedTemperatureCelsius = celsius, PlaceCount = places / 2 },
        });
        await sites.CreateBenchAsync(new()
        {
            Parent = site.Name, BenchId = "rack", Bench = new() { DisplayName = "Rack", PlannedTemperatureCelsius = celsius, PlaceCount = places - places / 2 },
        });
        for (var room = 1; room <= rooms; room++)
            await sites.CreateRoomAsync(new() { Parent = site.Name, RoomId = $"room-{room}", Room = new() { DisplayName = $"Room {room}", SeatCount = 8 } });
        await StationAsync(sites, site.Name, "planer", Station.Types.Kind.Planer, planers);
        await StationAsync(sites, site.Name, "saw", Station.Types.Kind.Saw, 1);
        await StationAsync(sites, site.Name, "sanding", Station.Types.Kind.Sanding, 8 * rooms);
    }

    private static async Task StationAsync(SiteService.SiteServiceClient sites, string site, string id, Station.Types.Kind kind, int places) =>
        await sites.CreateStationAsync(new() { Parent = site, StationId = id, Station = new() { DisplayName = id, Kind = kind, PlaceCount = places } });

    // Along a line, forty minutes from one to the next; beyond two of them nobody goes.
    private static async Task CreateTravelAsync(SiteService.SiteServiceClient sites)
    {
        for (var a = 0; a < Sites.Length; a++)
            for (var b = a + 1; b < Math.Min(a + 3, Sites.Length); b++)
                await sites.SetTravelTimeAsync(new() { Parent = Name, SiteA = Site(a), SiteB = Site(b), Duration = Minutes(40 * (b - a)) });
    }

    private static async Task CreateResinsAsync(ResinService.ResinServiceClient resins)
    {
        await resins.CreateResinSystemAsync(new()
        {
            Parent = Name, ResinSystemId = "deep",
            ResinSystem = new()
            {
                DisplayName = "Deep casting", Basis = ResinSystem.Types.Basis.Mass, HardenerPartsPer100Resin = 42, RatioTolerancePercent = 2,
                CureClass = ResinSystem.Types.CureClass.DeepCasting, MaxDepthMm = 40, DepthLimitAction = ResinSystem.Types.LimitAction.Refuse,
                DataSheet = new() { Version = "1", GelTime = Hours(28), GelTemperatureCelsius = 22, DemoldTime = Hours(36), DemoldDepthMm = 40, DemoldTemperatureCelsius = 22 },
            },
        });
        await resins.CreateResinSystemAsync(new()
        {
            Parent = Name, ResinSystemId = "quick",
            ResinSystem = new()
            {
                DisplayName = "Quick coating", Basis = ResinSystem.Types.Basis.Mass, HardenerPartsPer100Resin = 45, RatioTolerancePercent = 3,
                CureClass = ResinSystem.Types.CureClass.FastCoating, MaxDepthMm = 8, DepthLimitAction = ResinSystem.Types.LimitAction.Warn,
                DataSheet = new() { Version = "1", GelTime = Hours(4), GelTemperatureCelsius = 23, DemoldTime = Hours(9), DemoldDepthMm = 6, DemoldTemperatureCelsius = 20 },
            },
        });
    }

    private static async Task CreateOfferingsAsync(OfferingService.OfferingServiceClient offerings)
    {
        Offering Of(string name, string resin, double depthMm) => new()
        {
            DisplayName = name, ResinSystem = $"{Name}/resinSystems/{resin}", DepthMm = depthMm, LengthMm = 400, WidthMm = 250, WoodShareRatio = 0.6,
            SeatCount = 6, LongestGapDays = 16,
        };
        var board = Of("River board", "deep", 30);
        board.Finish = new() { SessionDuration = Hours(3), Wait = Hours(12), WithinDays = 10 };
        await offerings.CreateOfferingAsync(new() { Parent = Name, OfferingId = "board", Offering = board });
        await offerings.CreateOfferingAsync(new() { Parent = Name, OfferingId = "tray", Offering = Of("Tray", "deep", 25) });
        await offerings.CreateOfferingAsync(new() { Parent = Name, OfferingId = "coaster", Offering = Of("Coasters", "quick", 6) });
    }

    public static Date Date(DateOnly day) => new() { Year = day.Year, Month = day.Month, Day = day.Day };

    private static Duration Minutes(int minutes) => Duration.FromTimeSpan(TimeSpan.FromMinutes(minutes));

    private static Duration Hours(double hours) => Duration.FromTimeSpan(TimeSpan.FromHours(hours));
}
