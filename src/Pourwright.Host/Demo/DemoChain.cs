using Google.Protobuf.WellKnownTypes;
using Google.Type;
using Grpc.Net.Client;
using Pourwright.V1;
using DayOfWeek = Google.Type.DayOfWeek;

namespace Pourwright.Host.Demo;

/// <summary>An invented chain, Driftline, with five sites, seven instructors and the classes that people ask for in one winter.</summary>
public sealed class DemoChain(GrpcChannel channel)
{
    public const string Name = "studios/driftline";

    private const int Classes = 48;

    private static readonly DateOnly FirstPourDay = new(2027, 1, 4);

    private static readonly (string Id, string Called, string Zone, int Rooms, int BenchPlaces, double Celsius)[] Places =
    [
        ("pier", "Pier", "Europe/Lisbon", 2, 24, 21), ("weir", "Weir", "Europe/Madrid", 1, 16, 20), ("kiln", "Kiln", "Europe/Paris", 1, 16, 19),
        ("loft", "Loft", "Europe/Paris", 1, 12, 21), ("barn", "Barn", "Europe/Athens", 1, 12, 20),
    ];

    private static readonly (string Id, string Called, string Home, string[] Teaches, int DaysAWeek)[] People =
    [
        ("anouk", "Anouk", "pier", ["board", "tray", "coaster"], 4), ("bjarne", "Bjarne", "pier", ["tray", "coaster"], 3), ("celia", "Célia", "weir", ["board", "tray"], 4),
        ("danilo", "Danilo", "kiln", ["board", "tray", "coaster"], 4), ("edda", "Edda", "loft", ["board", "coaster"], 3), ("fenna", "Fenna", "kiln", ["tray", "coaster"], 3),
        ("gil", "Gil", "barn", ["board", "tray", "coaster"], 4),
    ];

    private readonly SiteService.SiteServiceClient _sites = new(channel);
    private readonly OfferingService.OfferingServiceClient _offerings = new(channel);

    /// <summary>Everything but the dates.</summary>
    public async Task FoundAsync()
    {
        await new StudioService.StudioServiceClient(channel).CreateStudioAsync(new() { StudioId = "driftline", Studio = new() { DisplayName = "Driftline" } });
        foreach (var place in Places) await FoundSiteAsync(place.Id, place.Called, place.Zone, place.Rooms, place.BenchPlaces, place.Celsius);
        await LayWaysAsync();
        await BuyResinAsync();
        await OfferAsync();
        await EngageAsync();
        await AskAsync();
    }

    private async Task FoundSiteAsync(string id, string called, string zone, int rooms, int benchPlaces, double celsius)
    {
        var owner = new Contact { Role = Contact.Types.Role.Owner, DisplayName = "Ottilie" };
        var site = (await _sites.CreateSiteAsync(new() { Parent = Name, SiteId = id, Site = new() { DisplayName = called, TimeZone = zone, Contacts = { owner } } })).Name;
        foreach (var bench in new[] { "window", "wall" })
            await _sites.CreateBenchAsync(new()
            {
                Parent = site, BenchId = bench, Bench = new() { DisplayName = $"Shelf by the {bench}", PlannedTemperatureCelsius = celsius, PlaceCount = benchPlaces / 2 },
            });
        for (var room = 1; room <= rooms; room++)
            await _sites.CreateRoomAsync(new() { Parent = site, RoomId = $"room-{room}", Room = new() { DisplayName = $"Room {room}", SeatCount = 8 } });
        await PutAsync(site, "planer", Station.Types.Kind.Planer, rooms);
        await PutAsync(site, "saw", Station.Types.Kind.Saw, 1);
        await PutAsync(site, "sanding", Station.Types.Kind.Sanding, 8 * rooms);
    }

    private async Task PutAsync(string site, string id, Station.Types.Kind kind, int places) =>
        await _sites.CreateStationAsync(new() { Parent = site, StationId = id, Station = new() { DisplayName = id, Kind = kind, PlaceCount = places } });

    // Along a line, fifty minutes from one to the next; nobody goes farther than to the second.
    private async Task LayWaysAsync()
    {
        for (var a = 0; a < Places.Length; a++)
            for (var b = a + 1; b < Math.Min(a + 3, Places.Length); b++)
                await _sites.SetTravelTimeAsync(new() { Parent = Name, SiteA = Site(Places[a].Id), SiteB = Site(Places[b].Id), Duration = Minutes(50 * (b - a)) });
    }

    // Both sheets are invented.
    private async Task BuyResinAsync()
    {
        var resins = new ResinService.ResinServiceClient(channel);
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

    private async Task OfferAsync()
    {
        var oiled = new Offering.Types.Finish { SessionDuration = Hours(3), Wait = Hours(12), WithinDays = 10 };
        await OfferAsync("board", "River board", "deep", 30, oiled);
        await OfferAsync("tray", "Tray", "deep", 20, null);
        await OfferAsync("coaster", "Coasters", "quick", 6, null);
    }

    private async Task OfferAsync(string id, string called, string resin, double depthMm, Offering.Types.Finish? finish) => await _offerings.CreateOfferingAsync(new()
    {
        Parent = Name, OfferingId = id,
        Offering = new()
        {
            DisplayName = called, ResinSystem = $"{Name}/resinSystems/{resin}", DepthMm = depthMm, LengthMm = 400, WidthMm = 250, WoodShareRatio = 0.6,
            SeatCount = 6, LongestGapDays = 16, Finish = finish,
        },
    });

    private async Task EngageAsync()
    {
        var people = new InstructorService.InstructorServiceClient(channel);
        foreach (var who in People)
            await people.CreateInstructorAsync(new()
            {
                Parent = Name, InstructorId = who.Id,
                Instructor = new()
                {
                    DisplayName = who.Called, Email = $"{who.Id}@driftline.example", HomeSite = Site(who.Home),
                    Offerings = { who.Teaches.Select(offering => $"{Name}/offerings/{offering}") }, WeeklyDayCount = who.DaysAWeek, FarthestTravelDuration = Minutes(110),
                },
            });
    }

    // By turns of each kind and at each site; every second one may be held at the next site as well, every fourth lies on weekends.
    private async Task AskAsync()
    {
        var classes = new ClassService.ClassServiceClient(channel);
        for (var number = 1; number <= Classes; number++)
            await classes.CreateCastingClassAsync(new() { Parent = Name, CastingClassId = $"class-{number:00}", CastingClass = Asked(number) });
    }

    private static CastingClass Asked(int number)
    {
        var (offering, called) = (number % 3) switch { 0 => ("board", "River board"), 1 => ("tray", "Tray"), _ => ("coaster", "Coasters") };
        var first = FirstPourDay.AddDays(7 * (number % 6));
        var asked = new CastingClass
        {
            DisplayName = $"{called} {number}", Offering = $"{Name}/offerings/{offering}", SeatCount = 4 + number % 4, Sites = { Site(Places[number % 5].Id) },
            FirstDate = Day(first), LastDate = Day(first.AddDays(13)), FavouriteDate = Day(first.AddDays(number % 7)),
        };
        if (number % 2 == 0) asked.Sites.Add(Site(Places[(number + 1) % 5].Id));
        if (number % 4 == 3) asked.Weekdays.Add([DayOfWeek.Friday, DayOfWeek.Saturday, DayOfWeek.Sunday]);
        if (number % 4 == 3) asked.FavouriteDate = Day(first.AddDays(5));
        return asked;
    }

    private static string Site(string id) => $"{Name}/sites/{id}";

    private static Date Day(DateOnly day) => new() { Year = day.Year, Month = day.Month, Day = day.Day };

    private static Duration Minutes(int minutes) => Duration.FromTimeSpan(TimeSpan.FromMinutes(minutes));

    private static Duration Hours(double hours) => Duration.FromTimeSpan(TimeSpan.FromHours(hours));
}
