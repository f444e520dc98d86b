using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.Testing;
using Pourwright.V1;
using DayOfWeek = Google.Type.DayOfWeek;
using Sample = Pourwright.Testing.SampleStudio;

namespace Pourwright.Studio.Tests.Sites;

/// <summary>What teaching needs of a site: hours, places, rooms, stations, outages, ways.</summary>
public sealed class TeachingServiceTests : IAsyncLifetime
{
    private readonly TeachingStudio _studio = new();

    private V1.SiteService.SiteServiceClient Sites => _studio.Sites;

    public Task InitializeAsync() => _studio.InitializeAsync();

    public Task DisposeAsync() => _studio.DisposeAsync();

    [Fact]
    public async Task TeachingHours_NotSaid_AreThoseOfEveryDayWithALunch()
    {
        var hours = (await Sites.GetSiteAsync(new() { Name = Sample.North })).TeachingHours;

        Assert.Equal(7, hours.OpeningDays.Count);
        Assert.Equal("9:00 13:00 14:00 18:00", string.Join(' ', new[] { hours.MorningStart, hours.MorningEnd, hours.AfternoonStart, hours.AfternoonEnd }.Select(t => $"{t.Hours}:{t.Minutes:00}")));
    }

    [Fact]
    public async Task TeachingHours_ChangedInPart_KeepTheRest()
    {
        await Sites.UpdateSiteAsync(new() { Site = new() { Name = Sample.North, TeachingHours = new() { MorningStart = new() { Hours = 8, Minutes = 30 } } } });
        var site = await Sites.UpdateSiteAsync(new()
        {
            Site = new() { Name = Sample.North, TeachingHours = new() { OpeningDays = { DayOfWeek.Sunday, DayOfWeek.Saturday } } },
        });

        Assert.Equal([DayOfWeek.Saturday, DayOfWeek.Sunday], site.TeachingHours.OpeningDays);
        Assert.Equal((8, 30, 13), (site.TeachingHours.MorningStart.Hours, site.TeachingHours.MorningStart.Minutes, site.TeachingHours.MorningEnd.Hours));
        Assert.Equal(site, await Sites.GetSiteAsync(new() { Name = Sample.North }));
    }

    [Fact]
    public async Task TeachingHours_OfAMaskAndNothing_AreTheDefaultAgain()
    {
        await Sites.UpdateSiteAsync(new() { Site = new() { Name = Sample.North, TeachingHours = new() { OpeningDays = { DayOfWeek.Sunday } } } });

        var site = await Sites.UpdateSiteAsync(new() { Site = new() { Name = Sample.North }, UpdateMask = FieldMask.FromString("teaching_hours") });

        Assert.Equal(7, site.TeachingHours.OpeningDays.Count);
    }

    [Fact]
    public async Task Bench_PlacesNotSaid_HoldsAClassOfEight()
    {
        var bench = await Sites.GetBenchAsync(new() { Name = Sample.NorthBench });

        var changed = await Sites.UpdateBenchAsync(new() { Bench = new() { Name = Sample.NorthBench, PlaceCount = 0, Etag = bench.Etag } });

        Assert.Equal((8, 0), (bench.PlaceCount, changed.PlaceCount));
        Assert.Equal((bench.DisplayName, bench.PlannedTemperatureCelsius, bench.BoardThicknessMm), (changed.DisplayName, changed.PlannedTemperatureCelsius, changed.BoardThicknessMm));
        Assert.NotEqual(bench.Etag, changed.Etag);
        Assert.Equal(changed, Assert.Single((await Sites.ListBenchesAsync(new() { Parent = Sample.North })).Benches));
    }

    // Rows of before: what they lack the migration fills in, with what a new site and a new bench would be given.
    [Fact]
    public async Task SiteAndBench_RecordedByAnEarlierRelease_AreAsIfNothingWasSaid()
    {
        await _studio.Harness.Writer.WriteAsync(tx =>
        {
            tx.Execute(
                """
                INSERT INTO sites (name, studio, display_name, time_zone, quiet_start_minute, quiet_end_minute, reminder_swing_ms,
                                   dew_point_margin_celsius, etag)
                VALUES ('studios/alder/sites/old', 'studios/alder', 'Old', 'Europe/Lisbon', 0, 0, 0, 3, 'e-1')
                """);
            tx.Execute(
                """
                INSERT INTO benches (name, site, display_name, board_thickness_mm)
                VALUES ('studios/alder/sites/old/benches/shelf', 'studios/alder/sites/old', 'Shelf', 18)
                """);
        });

        var site = await Sites.GetSiteAsync(new() { Name = "studios/alder/sites/old" });
        var bench = Assert.Single((await Sites.ListBenchesAsync(new() { Parent = site.Name })).Benches);
        var changed = await Sites.UpdateBenchAsync(new() { Bench = new() { Name = bench.Name, PlaceCount = 4, Etag = bench.Etag } });

        Assert.Equal((await Sites.GetSiteAsync(new() { Name = Sample.North })).TeachingHours, site.TeachingHours);
        Assert.Equal((8, 4), (bench.PlaceCount, changed.PlaceCount));
    }

    [Fact]
    public async Task Bench_SentBackAsItWasReadWithOtherPlaces_Changes()
    {
        var bench = await Sites.GetBenchAsync(new() { Name = Sample.NorthBench });
        bench.PlaceCount = 12;

        Assert.Equal(12, (await Sites.UpdateBenchAsync(new() { Bench = bench })).PlaceCount);
    }

    [Fact]
    public async Task Room_Changed_KeepsWhatIsNotSaid()
    {
        var room = await Sites.GetRoomAsync(new() { Name = SampleTeaching.NorthRoom });

        var changed = await Sites.UpdateRoomAsync(new() { Room = new() { Name = room.Name, SeatCount = 6, Etag = room.Etag } });

        Assert.Equal((room.DisplayName, 6), (changed.DisplayName, changed.SeatCount));
        Assert.Equal([changed], (await Sites.ListRoomsAsync(new() { Parent = Sample.North })).Rooms);
    }

    [Fact]
    public async Task Room_TakenOff_IsGoneAndARepeatIsHarmless()
    {
        var request = new DeleteRoomRequest { Name = SampleTeaching.NorthRoom, RequestId = Guid.NewGuid().ToString() };

        await Sites.DeleteRoomAsync(request);
        await Sites.DeleteRoomAsync(request);

        Assert.Empty((await Sites.ListRoomsAsync(new() { Parent = Sample.North })).Rooms);
        Assert.Single((await Sites.ListRoomsAsync(new() { Parent = Sample.South })).Rooms);
    }

    [Fact]
    public async Task Station_LittleSaid_IsOnePlaceForSixHours()
    {
        var station = await Sites.CreateStationAsync(new()
        {
            Parent = Sample.North,
            Station = new() { DisplayName = "Oil table", Kind = Station.Types.Kind.Finishing },
        });

        Assert.Equal((1, TimeSpan.FromHours(6)), (station.PlaceCount, station.DailyDuration.ToTimeSpan()));
        Assert.Equal(station, await Sites.GetStationAsync(new() { Name = station.Name }));
    }

    [Fact]
    public async Task Station_Changed_KeepsWhatIsNotSaid()
    {
        var station = await Sites.GetStationAsync(new() { Name = SampleTeaching.NorthPlaner });

        var changed = await Sites.UpdateStationAsync(new() { Station = new() { Name = station.Name, DailyDuration = SampleTeaching.Minutes(240), Etag = station.Etag } });

        Assert.Equal((station.Kind, station.PlaceCount, 240.0), (changed.Kind, changed.PlaceCount, changed.DailyDuration.ToTimeSpan().TotalMinutes));
        Assert.Contains(changed, (await Sites.ListStationsAsync(new() { Parent = Sample.North })).Stations);
    }

    [Fact]
    public async Task Station_TakenOff_GoesWithItsOutages()
    {
        await CloseAsync("north", station: SampleTeaching.NorthPlaner);
        var holiday = await CloseAsync("north");

        await Sites.DeleteStationAsync(new() { Name = SampleTeaching.NorthPlaner });

        Assert.Equal([holiday], (await Sites.ListOutagesAsync(new() { Parent = Sample.North })).Outages);
        Assert.Equal(["sanding", "saw"], (await Sites.ListStationsAsync(new() { Parent = Sample.North })).Stations.Select(s => s.DisplayName).Order());
    }

    [Fact]
    public async Task Outage_OfEachKind_ReadsBackAndMayBeTakenBack()
    {
        var site = await CloseAsync("north");
        var station = await CloseAsync("north", station: SampleTeaching.NorthPlaner);
        var bench = await CloseAsync("north", bench: Sample.NorthBench);

        Assert.Equal(new[] { site, station, bench }.OrderBy(o => o.Name), (await Sites.ListOutagesAsync(new() { Parent = Sample.North })).Outages);
        await Sites.DeleteOutageAsync(new() { Name = station.Name });
        Assert.Equal(new[] { site, bench }.OrderBy(o => o.Name), (await Sites.ListOutagesAsync(new() { Parent = Sample.North })).Outages);
        await Assert.ThrowsAsync<RpcException>(async () => await Sites.GetOutageAsync(new() { Name = station.Name }));
    }

    // An outage from 09:00 to 09:00 a day later: its start counts, its end does not.
    [Theory]
    [InlineData(-2, 0, 0)]
    [InlineData(-2, 1, 1)]
    [InlineData(0, 24, 1)]
    [InlineData(23, 30, 1)]
    [InlineData(24, 30, 0)]
    public async Task GetOutages_OfASpan_AreThoseThatReachIntoIt(int fromHours, int toHours, int expected)
    {
        await CloseAsync("north");

        var found = _studio.Harness.Reads.Read(session => SiteStore.GetOutages(
            session, Sample.Name, StudioHarness.Start.AddHours(fromHours).ToUnixTimeMilliseconds(), StudioHarness.Start.AddHours(toHours).ToUnixTimeMilliseconds()));

        Assert.Equal(expected, found.Count);
    }

    [Fact]
    public async Task GetByStudio_OtherStudios_AreLeftOut()
    {
        await CloseAsync("north");
        await new V1.StudioService.StudioServiceClient(_studio.Harness.Channel).CreateStudioAsync(new() { StudioId = "elm", Studio = new() { DisplayName = "Elm" } });

        var (mine, theirs) = _studio.Harness.Reads.Read(session => (Counts(session, Sample.Name), Counts(session, "studios/elm")));

        // Two sites, each with a bench, a room and three stations; one outage; one way.
        Assert.Equal((2, 2, 2, 6, 1, 1), mine);
        Assert.Equal((0, 0, 0, 0, 0, 0), theirs);

        static (int, int, int, int, int, int) Counts(StudioReading session, string name) => (
            SiteStore.GetSites(session, name).Count, SiteStore.GetBenches(session, name).Count, SiteStore.GetRooms(session, name).Count,
            SiteStore.GetStations(session, name).Count, SiteStore.GetOutages(session, name).Count, SiteStore.GetTravel(session, name).Count);
    }

    [Fact]
    public async Task Travel_SaidFromEitherEnd_IsOneWay()
    {
        await Sites.SetTravelTimeAsync(new() { Parent = Sample.Name, SiteA = Sample.South, SiteB = Sample.North, Duration = SampleTeaching.Minutes(45) });

        var way = Assert.Single((await Sites.ListTravelTimesAsync(new() { Parent = Sample.Name })).TravelTimes);

        Assert.Equal((Sample.North, Sample.South, 45.0), (way.SiteA, way.SiteB, way.Duration.ToTimeSpan().TotalMinutes));
    }

    [Fact]
    public async Task Travel_SaidWithoutATime_IsTakenBack()
    {
        var way = await Sites.SetTravelTimeAsync(new() { Parent = Sample.Name, SiteA = Sample.South, SiteB = Sample.North });

        Assert.Null(way.Duration);
        Assert.Empty((await Sites.ListTravelTimesAsync(new() { Parent = Sample.Name })).TravelTimes);
    }

    [Fact]
    public async Task Travel_OfManySites_IsListedInPages()
    {
        foreach (var id in (string[])["east", "west"])
            await Sites.CreateSiteAsync(new() { Parent = Sample.Name, SiteId = id, Site = new() { DisplayName = id, TimeZone = "Europe/Lisbon" } });
        string[] all = [$"{Sample.Name}/sites/east", Sample.North, Sample.South, $"{Sample.Name}/sites/west"];
        foreach (var (a, b) in all.SelectMany((a, i) => all.Skip(i + 1).Select(b => (a, b))))
            await Sites.SetTravelTimeAsync(new() { Parent = Sample.Name, SiteA = a, SiteB = b, Duration = SampleTeaching.Minutes(20) });

        var first = await Sites.ListTravelTimesAsync(new() { Parent = Sample.Name, PageSize = 4 });
        var second = await Sites.ListTravelTimesAsync(new() { Parent = Sample.Name, PageSize = 4, PageToken = first.NextPageToken });

        // Four sites have 4 · 3 / 2 = 6 pairs.
        Assert.Equal((4, 2, ""), (first.TravelTimes.Count, second.TravelTimes.Count, second.NextPageToken));
        Assert.Equal(6, first.TravelTimes.Concat(second.TravelTimes).Distinct().Count());
    }

    private async Task<Outage> CloseAsync(string site, string station = "", string bench = "") => await Sites.CreateOutageAsync(new()
    {
        Parent = $"{Sample.Name}/sites/{site}",
        Outage = new()
        {
            Station = station,
            Bench = bench,
            StartTime = StudioHarness.Start.ToTimestamp(),
            EndTime = StudioHarness.Start.AddDays(1).ToTimestamp(),
            Reason = "Holiday",
        },
    });
}
