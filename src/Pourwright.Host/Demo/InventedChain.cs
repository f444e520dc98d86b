using Google.Protobuf.WellKnownTypes;
using Google.Type;
using Grpc.Net.Client;
using Pourwright.V1;
using DayOfWeek = Google.Type.DayOfWeek;

namespace Pourwright.Host.Demo;

/// <summary>What one invented chain has and another has not.</summary>
/// <param name="Id">Of the studio.</param>
/// <param name="Owner">Whom every site tells first.</param>
/// <param name="Places">Sites along a line: id, IANA zone, rooms of 8 seats (a planer and 8 sanding places each), bench places, °C.</param>
/// <param name="People">Instructors: id, home site, offerings, days a week.</param>
/// <param name="StepMinutes">From one site to the next.</param>
/// <param name="TrayDepthMm">Depth of the trays.</param>
public sealed record ChainOutline(
    string Id, string Owner, IReadOnlyList<(string Id, string Zone, int Rooms, int BenchPlaces, double Celsius)> Places,
    IReadOnlyList<(string Id, string Home, string[] Teaches, int DaysAWeek)> People, int StepMinutes, double TrayDepthMm)
{
    /// <summary>The chain of `demo --chain`.</summary>
    public static ChainOutline Driftline { get; } = new(
        "driftline", "Ottilie",
        [
            ("pier", "Europe/Lisbon", 2, 24, 21), ("weir", "Europe/Madrid", 1, 16, 20), ("kiln", "Europe/Paris", 1, 16, 19),
            ("loft", "Europe/Paris", 1, 12, 21), ("barn", "Europe/Athens", 1, 12, 20),
        ],
        [
            ("anouk", "pier", ["board", "tray", "coaster"], 4), ("bjarne", "pier", ["tray", "coaster"], 3), ("celia", "weir", ["board", "tray"], 4),
            ("danilo", "kiln", ["board", "tray", "coaster"], 4), ("edda", "loft", ["board", "coaster"], 3), ("fenna", "kiln", ["tray", "coaster"], 3),
            ("gil", "barn", ["board", "tray", "coaster"], 4),
        ],
        StepMinutes: 50, TrayDepthMm: 20);

    public string Name => $"studios/{Id}";

    public string Site(int index) => Site(Places[index].Id);

    public string Site(string id) => $"{Name}/sites/{id}";

    public string Offering(string id) => $"{Name}/offerings/{id}";
}

/// <summary>Founds an invented chain of studios through the public API, and asks for its classes.</summary>
/// <remarks>
/// It teaches boards of 30 mm with a day for the oil, trays, and coasters of 6 mm of a quick resin. Everything follows from the outline
/// and from numbers, so that the same chain comes about on every machine.
/// </remarks>
public sealed class InventedChain(GrpcChannel channel, ChainOutline outline)
{
    private readonly SiteService.SiteServiceClient _sites = new(channel);
    private readonly OfferingService.OfferingServiceClient _offerings = new(channel);

    /// <summary>Everything but classes.</summary>
    public async Task FoundAsync()
    {
        await new StudioService.StudioServiceClient(channel).CreateStudioAsync(new() { StudioId = outline.Id, Studio = new() { DisplayName = Called(outline.Id) } });
        for (var place = 0; place < outline.Places.Count; place++) await FoundSiteAsync(place);
        await LayWaysAsync();
        await BuyResinAsync();
        await OfferAsync("board", "River board", "deep", 30, new() { SessionDuration = Hours(3), Wait = Hours(12), WithinDays = 10 });
        await OfferAsync("tray", "Tray", "deep", outline.TrayDepthMm, null);
        await OfferAsync("coaster", "Coasters", "quick", 6, null);
        await EngageAsync();
    }

    /// <summary>
    /// Asks for so many classes from a number on: by turns of each kind and at each site, every second one at the next site as well,
    /// every fourth at weekends only.
    /// </summary>
    /// <param name="first">Number of the first.</param>
    /// <param name="count">How many.</param>
    /// <param name="firstPourDay">Their pours lie in fortnights from here on,</param>
    /// <param name="weeks">which begin in so many weeks by turns.</param>
    public async Task AskAsync(int first, int count, DateOnly firstPourDay, int weeks)
    {
        var classes = new ClassService.ClassServiceClient(channel);
        for (var number = first; number < first + count; number++)
            await classes.CreateCastingClassAsync(new()
            {
                Parent = outline.Name, CastingClassId = $"class-{number:00}", CastingClass = Asked(number, firstPourDay.AddDays(7 * (number % weeks))),
            });
    }

    private CastingClass Asked(int number, DateOnly first)
    {
        var (offering, called) = (number % 3) switch { 0 => ("board", "River board"), 1 => ("tray", "Tray"), _ => ("coaster", "Coasters") };
        var isAtWeekends = number % 4 == 3;
        var asked = new CastingClass
        {
            DisplayName = $"{called} {number}", Offering = outline.Offering(offering), SeatCount = 4 + number % 4,
            Sites = { outline.Site(number % outline.Places.Count) },
            FirstDate = Day(first), LastDate = Day(first.AddDays(13)), FavouriteDate = Day(first.AddDays(isAtWeekends ? 5 : number % 7)),
        };
        if (number % 2 == 0) asked.Sites.Add(outline.Site((number + 1) % outline.Places.Count));
        if (isAtWeekends) asked.Weekdays.Add([DayOfWeek.Friday, DayOfWeek.Saturday, DayOfWeek.Sunday]);
        return asked;
    }

    private async Task FoundSiteAsync(int index)
    {
        var (id, zone, rooms, benchPlaces, celsius) = outline.Places[index];
        var owner = new Contact { Role = Contact.Types.Role.Owner, DisplayName = outline.Owner, Email = Address(outline.Owner) };
        var site = (await _sites.CreateSiteAsync(new()
        {
            Parent = outline.Name, SiteId = id, Site = new() { DisplayName = Called(id), TimeZone = zone, Contacts = { owner } },
        })).Name;
        foreach (var bench in new[] { "shelf", "rack" })
            await _sites.CreateBenchAsync(new()
            {
                Parent = site, BenchId = bench, Bench = new() { DisplayName = Called(bench), PlannedTemperatureCelsius = celsius, PlaceCount = benchPlaces / 2 },
            });
        for (var room = 1; room <= rooms; room++)
            await _sites.CreateRoomAsync(new() { Parent = site, RoomId = $"room-{room}", Room = new() { DisplayName = $"Room {room}", SeatCount = 8 } });
        await PutAsync(site, "planer", Station.Types.Kind.Planer, rooms);
        await PutAsync(site, "saw", Station.Types.Kind.Saw, 1);
        await PutAsync(site, "sanding", Station.Types.Kind.Sanding, 8 * rooms);
    }

    private async Task PutAsync(string site, string id, Station.Types.Kind kind, int places) =>
        await _sites.CreateStationAsync(new() { Parent = site, StationId = id, Station = new() { DisplayName = id, Kind = kind, PlaceCount = places } });

    // Nobody goes farther than to the second site along the line.
    private async Task LayWaysAsync()
    {
        for (var a = 0; a < outline.Places.Count; a++)
            for (var b = a + 1; b < Math.Min(a + 3, outline.Places.Count); b++)
                await _sites.SetTravelTimeAsync(new()
                {
                    Parent = outline.Name, SiteA = outline.Site(a), SiteB = outline.Site(b), Duration = Minutes(outline.StepMinutes * (b - a)),
                });
    }

    // Both sheets are invented.
    private async Task BuyResinAsync()
    {
        var resins = new ResinService.ResinServiceClient(channel);
        await resins.CreateResinSystemAsync(new()
        {
            Parent = outline.Name, ResinSystemId = "deep",
            ResinSystem = new()
            {
                DisplayName = "Deep casting", Basis = ResinSystem.Types.Basis.Mass, HardenerPartsPer100Resin = 42, RatioTolerancePercent = 2,
                CureClass = ResinSystem.Types.CureClass.DeepCasting, MaxDepthMm = 40, DepthLimitAction = ResinSystem.Types.LimitAction.Refuse,
                DataSheet = new() { Version = "1", GelTime = Hours(28), GelTemperatureCelsius = 22, DemoldTime = Hours(36), DemoldDepthMm = 40, DemoldTemperatureCelsius = 22 },
            },
        });
        await resins.CreateResinSystemAsync(new()
        {
            Parent = outline.Name, ResinSystemId = "quick",
            ResinSystem = new()
            {
                DisplayName = "Quick coating", Basis = ResinSystem.Types.Basis.Mass, HardenerPartsPer100Resin = 45, RatioTolerancePercent = 3,
                CureClass = ResinSystem.Types.CureClass.FastCoating, MaxDepthMm = 8, DepthLimitAction = ResinSystem.Types.LimitAction.Warn,
                DataSheet = new() { Version = "1", GelTime = Hours(4), GelTemperatureCelsius = 23, DemoldTime = Hours(9), DemoldDepthMm = 6, DemoldTemperatureCelsius = 20 },
            },
        });
    }

    private async Task OfferAsync(string id, string called, string resin, double depthMm, Offering.Types.Finish? finish) => await _offerings.CreateOfferingAsync(new()
    {
        Parent = outline.Name, OfferingId = id,
        Offering = new()
        {
            DisplayName = called, ResinSystem = $"{outline.Name}/resinSystems/{resin}", DepthMm = depthMm, LengthMm = 400, WidthMm = 250, WoodShareRatio = 0.6,
            SeatCount = 6, LongestGapDays = 16, Finish = finish,
        },
    });

    private async Task EngageAsync()
    {
        var people = new InstructorService.InstructorServiceClient(channel);
        foreach (var who in outline.People)
            await people.CreateInstructorAsync(new()
            {
                Parent = outline.Name, InstructorId = who.Id,
                Instructor = new()
                {
                    DisplayName = Called(who.Id), Email = Address(who.Id), HomeSite = outline.Site(who.Home), Offerings = { who.Teaches.Select(outline.Offering) },
                    WeeklyDayCount = who.DaysAWeek, FarthestTravelDuration = Minutes(120),
                },
            });
    }

    private string Address(string who) => $"{who.ToLowerInvariant()}@{outline.Id}.example";

    private static string Called(string id) => char.ToUpperInvariant(id[0]) + id[1..];

    private static Date Day(DateOnly day) => new() { Year = day.Year, Month = day.Month, Day = day.Day };

    private static Duration Minutes(int minutes) => Duration.FromTimeSpan(TimeSpan.FromMinutes(minutes));

    private static Duration Hours(double hours) => Duration.FromTimeSpan(TimeSpan.FromHours(hours));
}
