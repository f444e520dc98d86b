using Google.Protobuf.WellKnownTypes;
using Pourwright.Testing;
using Pourwright.V1;
using DayOfWeek = Google.Type.DayOfWeek;
using Sample = Pourwright.Testing.SampleStudio;
using TimeOfDay = Google.Type.TimeOfDay;

namespace Pourwright.Studio.Tests.Sites;

/// <summary>Every refusal of what teaching needs of a site, on the wire. None keeps anything.</summary>
public sealed class TeachingRefusalTests(TeachingStudio studio) : IClassFixture<TeachingStudio>
{
    private const string Nowhere = "studios/alder/sites/nowhere";

    private static readonly Dictionary<string, Refused> Table = new()
    {
        ["hours that end before they begin"] = Refused.Invalid(s => Hours(s, new() { MorningStart = At(13, 30) }), "site.teaching_hours.morning_end"),
        ["morning that runs into the afternoon"] = Refused.Invalid(s => Hours(s, new() { MorningEnd = At(14, 30) }), "site.teaching_hours.afternoon_start"),
        ["afternoon of no length"] = Refused.Invalid(s => Hours(s, new() { AfternoonEnd = At(14, 0) }), "site.teaching_hours.afternoon_end"),
        ["hours past midnight"] = Refused.Invalid(s => Hours(s, new() { AfternoonEnd = At(24, 0) }), "site.teaching_hours.afternoon_end"),
        ["hours on no day of the week"] = Refused.Invalid(s => Hours(s, new() { OpeningDays = { DayOfWeek.Unspecified } }), "site.teaching_hours.opening_days"),
        ["bench of too many places"] = Refused.Invalid(s => Bench(s, new() { PlaceCount = 201 }), "bench.place_count"),
        ["bench of fewer than no places"] = Refused.Invalid(s => Bench(s, new() { PlaceCount = -1 }), "bench.place_count"),
        ["bench held at another temperature"] = Refused.Invalid(s => Bench(s, new() { PlannedTemperatureCelsius = 25 }), "bench.planned_temperature_celsius"),
        ["bench on another board"] = Refused.Invalid(s => Bench(s, new() { BoardThicknessMm = 12 }), "bench.board_thickness_mm"),
        ["bench by a mask of what stays"] = Refused.Invalid(s => s.Sites.UpdateBenchAsync(new() { Bench = new() { Name = Sample.NorthBench }, UpdateMask = FieldMask.FromString("board_thickness_mm") }).ResponseAsync, "update_mask"),
        ["bench as somebody read it before"] = Refused.Stale(s => Bench(s, new() { PlaceCount = 3, Etag = "old" })),
        ["unknown bench changed"] = Refused.NotFound(s => s.Sites.UpdateBenchAsync(new() { Bench = new() { Name = $"{Sample.North}/benches/none", PlaceCount = 3 } }).ResponseAsync, "BENCH_NOT_FOUND"),

        ["room without seats"] = Refused.Invalid(s => Room(s, new() { DisplayName = "Attic" }), "room.seat_count"),
        ["room of no name"] = Refused.Invalid(s => Room(s, new() { SeatCount = 4 }), "room.display_name"),
        ["room at an unknown site"] = Refused.NotFound(s => Room(s, new() { DisplayName = "Attic", SeatCount = 4 }, Nowhere), "SITE_NOT_FOUND"),
        ["room whose id is taken"] = Refused.Exists(s => Room(s, new() { DisplayName = "Hall", SeatCount = 4 }, id: "hall"), "ROOM_EXISTS"),
        ["room as somebody read it before"] = Refused.Stale(s => s.Sites.UpdateRoomAsync(new() { Room = new() { Name = SampleTeaching.NorthRoom, SeatCount = 6, Etag = "old" } }).ResponseAsync),
        ["unknown room"] = Refused.NotFound(s => s.Sites.GetRoomAsync(new() { Name = $"{Sample.North}/rooms/none" }).ResponseAsync, "ROOM_NOT_FOUND"),
        ["unknown room taken off"] = Refused.NotFound(s => s.Sites.DeleteRoomAsync(new() { Name = $"{Sample.North}/rooms/none" }).ResponseAsync, "ROOM_NOT_FOUND"),
        ["rooms of an unknown site"] = Refused.NotFound(s => s.Sites.ListRoomsAsync(new() { Parent = Nowhere }).ResponseAsync, "SITE_NOT_FOUND"),

        ["station for nothing"] = Refused.Invalid(s => Station(s, new() { DisplayName = "Lathe" }), "station.kind"),
        ["station of a kind unheard of"] = Refused.Invalid(s => Station(s, new() { DisplayName = "Lathe", Kind = (Station.Types.Kind)9 }), "station.kind"),
        ["station where nobody may work"] = Refused.Invalid(s => Station(s, new() { DisplayName = "Saw", Kind = V1.Station.Types.Kind.Saw, PlaceCount = 0 }), "station.place_count"),
        ["station of half a minute"] = Refused.Invalid(s => Station(s, new() { DisplayName = "Saw", Kind = V1.Station.Types.Kind.Saw, DailyDuration = new() { Seconds = 30 } }), "station.daily_duration"),
        ["station of more than a day a day"] = Refused.Invalid(s => Station(s, new() { DisplayName = "Saw", Kind = V1.Station.Types.Kind.Saw, DailyDuration = SampleTeaching.Minutes(1441) }), "station.daily_duration"),
        ["station whose id is taken"] = Refused.Exists(s => Station(s, new() { DisplayName = "Saw", Kind = V1.Station.Types.Kind.Saw }, id: "saw"), "STATION_EXISTS"),
        ["station as somebody read it before"] = Refused.Stale(s => s.Sites.UpdateStationAsync(new() { Station = new() { Name = SampleTeaching.NorthPlaner, PlaceCount = 2, Etag = "old" } }).ResponseAsync),
        ["unknown station taken off"] = Refused.NotFound(s => s.Sites.DeleteStationAsync(new() { Name = $"{Sample.North}/stations/none" }).ResponseAsync, "STATION_NOT_FOUND"),

        ["outage that says nothing"] = Refused.Invalid(s => Outage(s, null), "outage.reason,outage.start_time,outage.end_time"),
        ["outage that ends as it begins"] = Refused.Invalid(s => Outage(s, Closed(0)), "outage.end_time"),
        ["outage that ends before it begins"] = Refused.Invalid(s => Outage(s, Closed(-1)), "outage.end_time"),
        ["outage of more than a year"] = Refused.Invalid(s => Outage(s, Closed(367)), "outage.end_time"),
        ["outage of two things"] = Refused.Invalid(s => Outage(s, Closed(1, station: SampleTeaching.NorthPlaner, bench: Sample.NorthBench)), "outage.bench"),
        ["outage of another site's station"] = Refused.Invalid(s => Outage(s, Closed(1, station: $"{Sample.South}/stations/planer")), "outage.station"),
        ["outage of an unknown station"] = Refused.NotFound(s => Outage(s, Closed(1, station: $"{Sample.North}/stations/none")), "STATION_NOT_FOUND"),
        ["outage of an unknown bench"] = Refused.NotFound(s => Outage(s, Closed(1, bench: $"{Sample.North}/benches/none")), "BENCH_NOT_FOUND"),
        ["outage of an unknown site"] = Refused.NotFound(s => s.Sites.CreateOutageAsync(new() { Parent = Nowhere, Outage = Closed(1) }).ResponseAsync, "SITE_NOT_FOUND"),
        ["unknown outage taken back"] = Refused.NotFound(s => s.Sites.DeleteOutageAsync(new() { Name = $"{Sample.North}/outages/none" }).ResponseAsync, "OUTAGE_NOT_FOUND"),

        ["way from a site to itself"] = Refused.Invalid(s => Travel(s, Sample.North, Sample.North), "site_b"),
        ["way to another studio"] = Refused.Invalid(s => Travel(s, Sample.North, "studios/elm/sites/north"), "site_b"),
        ["way to an unknown site"] = Refused.NotFound(s => Travel(s, Nowhere, Sample.North), "SITE_NOT_FOUND"),
        ["way of half a minute"] = Refused.Invalid(s => Travel(s, Sample.North, Sample.South, new() { Seconds = 90 }), "duration"),
        ["way of more than a day"] = Refused.Invalid(s => Travel(s, Sample.North, Sample.South, SampleTeaching.Minutes(1441)), "duration"),
        ["way that leads back"] = Refused.Invalid(s => Travel(s, Sample.North, Sample.South, SampleTeaching.Minutes(-1)), "duration"),
    };

    public static TheoryData<string> Claims => [.. Table.Keys];

    [Theory, MemberData(nameof(Claims))]
    public Task Request_ThatMayNotBe_IsRefusedWithItsReasonAndKeepsNothing(string claim) => Table[claim].HoldsAsync(studio);

    private static TimeOfDay At(int hours, int minutes) => new() { Hours = hours, Minutes = minutes };

    private static Task<Site> Hours(TeachingStudio s, TeachingHours hours) =>
        s.Sites.UpdateSiteAsync(new() { Site = new() { Name = Sample.North, TeachingHours = hours } }).ResponseAsync;

    private static Task<Bench> Bench(TeachingStudio s, Bench bench)
    {
        bench.Name = Sample.NorthBench;
        return s.Sites.UpdateBenchAsync(new() { Bench = bench }).ResponseAsync;
    }

    private static Task<Room> Room(TeachingStudio s, Room room, string site = Sample.North, string id = "attic") =>
        s.Sites.CreateRoomAsync(new() { Parent = site, RoomId = id, Room = room }).ResponseAsync;

    private static Task<Station> Station(TeachingStudio s, Station station, string id = "fourth") =>
        s.Sites.CreateStationAsync(new() { Parent = Sample.North, StationId = id, Station = station }).ResponseAsync;

    private static Task<Outage> Outage(TeachingStudio s, Outage? outage) =>
        s.Sites.CreateOutageAsync(new() { Parent = Sample.North, Outage = outage }).ResponseAsync;

    private static Outage Closed(int days, string station = "", string bench = "") => new()
    {
        Station = station,
        Bench = bench,
        StartTime = StudioHarness.Start.ToTimestamp(),
        EndTime = StudioHarness.Start.AddDays(days).ToTimestamp(),
        Reason = "New knives",
    };

    private static Task<TravelTime> Travel(TeachingStudio s, string a, string b, Duration? duration = null) => s.Sites.SetTravelTimeAsync(
        new() { Parent = Sample.Name, SiteA = a, SiteB = b, Duration = duration ?? SampleTeaching.Minutes(30) }).ResponseAsync;
}
