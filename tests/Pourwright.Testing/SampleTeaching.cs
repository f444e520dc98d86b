using Google.Protobuf.WellKnownTypes;
using Grpc.Net.Client;
using Pourwright.V1;
using DayOfWeek = Google.Type.DayOfWeek;

namespace Pourwright.Testing;

/// <summary>What the invented studio teaches with: at each site a room and three stations, an hour between the sites, one offering, two instructors.</summary>
public static class SampleTeaching
{
    public const string NorthRoom = "studios/alder/sites/north/rooms/hall";
    public const string NorthPlaner = "studios/alder/sites/north/stations/planer";

    /// <summary>A tray of <see cref="SampleStudio.Deep"/>: 400 × 250 × 30 mm, 60 % wood, eight seats, no third day.</summary>
    public const string Tray = "studios/alder/offerings/tray";

    /// <summary>Teaches the tray from the north site, Monday to Friday, an hour and a half far.</summary>
    public const string Ana = "studios/alder/instructors/ana";

    /// <summary>Teaches the tray from the south site, on two days of any week, at home alone.</summary>
    public const string Rui = "studios/alder/instructors/rui";

    /// <summary>Adds to a studio made by <see cref="SampleStudio.CreateAsync(GrpcChannel)"/>.</summary>
    public static async Task CreateAsync(GrpcChannel channel)
    {
        var sites = new SiteService.SiteServiceClient(channel);
        foreach (var site in (string[])[SampleStudio.North, SampleStudio.South]) await FurnishAsync(sites, site);
        await sites.SetTravelTimeAsync(new() { Parent = SampleStudio.Name, SiteA = SampleStudio.North, SiteB = SampleStudio.South, Duration = Minutes(60) });
        await new OfferingService.OfferingServiceClient(channel).CreateOfferingAsync(
            new() { Parent = SampleStudio.Name, OfferingId = "tray", Offering = TrayOffering() });
        var instructors = new InstructorService.InstructorServiceClient(channel);
        await instructors.CreateInstructorAsync(new() { Parent = SampleStudio.Name, InstructorId = "ana", Instructor = AnaInstructor() });
        await instructors.CreateInstructorAsync(new()
        {
            Parent = SampleStudio.Name,
            InstructorId = "rui",
            Instructor = new()
            {
                DisplayName = "Rui", HomeSite = SampleStudio.South, Offerings = { Tray }, WeeklyDayCount = 2, FarthestTravelDuration = Minutes(0),
            },
        });
    }

    /// <summary>The tray, before it has a name.</summary>
    public static Offering TrayOffering() => new()
    {
        DisplayName = "Serving tray",
        ResinSystem = SampleStudio.Deep,
        DepthMm = 30,
        LengthMm = 400,
        WidthMm = 250,
        WoodShareRatio = 0.6,
        SeatCount = 8,
    };

    /// <summary>Ana, before she has a name.</summary>
    public static Instructor AnaInstructor() => new()
    {
        DisplayName = "Ana",
        Email = "ana@alder.example",
        HomeSite = SampleStudio.North,
        Offerings = { Tray },
        Weekdays = { DayOfWeek.Monday, DayOfWeek.Tuesday, DayOfWeek.Wednesday, DayOfWeek.Thursday, DayOfWeek.Friday },
        FarthestTravelDuration = Minutes(90),
    };

    public static Duration Minutes(int minutes) => Duration.FromTimeSpan(TimeSpan.FromMinutes(minutes));

    private static async Task FurnishAsync(SiteService.SiteServiceClient sites, string site)
    {
        await sites.CreateRoomAsync(new() { Parent = site, RoomId = "hall", Room = new() { DisplayName = "Hall", SeatCount = 10 } });
        await AddStationAsync(sites, site, "planer", Station.Types.Kind.Planer, places: 1);
        await AddStationAsync(sites, site, "saw", Station.Types.Kind.Saw, places: 1);
        await AddStationAsync(sites, site, "sanding", Station.Types.Kind.Sanding, places: 8);
    }

    private static async Task AddStationAsync(SiteService.SiteServiceClient sites, string site, string id, Station.Types.Kind kind, int places) =>
        await sites.CreateStationAsync(new() { Parent = site, StationId = id, Station = new() { DisplayName = id, Kind = kind, PlaceCount = places } });
}
