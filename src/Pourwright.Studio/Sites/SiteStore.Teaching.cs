using Pourwright.Studio.Names;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Sites;

/// <summary>SQL of rooms, stations, outages and travel.</summary>
public static partial class SiteStore
{
    /// <summary>Every site of a studio, by name.</summary>
    public static IReadOnlyList<SiteRecord> GetSites(StudioSession session, string studio) =>
        session.Query<SiteRecord>($"{SiteColumns} WHERE studio = @studio ORDER BY name", new { studio });

    /// <summary>Every bench of a studio, by name.</summary>
    public static IReadOnlyList<BenchRecord> GetBenches(StudioSession session, string studio) =>
        session.Query<BenchRecord>($"{BenchColumns} WHERE {OfStudio} ORDER BY name", new { studio });

    private const string OfStudio = "site IN (SELECT name FROM sites WHERE studio = @studio)";

    private const string RoomColumns = "SELECT name, site, display_name, seats, etag FROM rooms";

    public static RoomRecord GetRoom(StudioSession session, string name) =>
        session.Find<RoomRecord>($"{RoomColumns} WHERE name = @name", new { name }) ?? throw ResourceKind.Room.NotFound(name);

    /// <summary>Every room of a studio, by name.</summary>
    public static IReadOnlyList<RoomRecord> GetRooms(StudioSession session, string studio) =>
        session.Query<RoomRecord>($"{RoomColumns} WHERE {OfStudio} ORDER BY name", new { studio });

    public static IReadOnlyList<RoomRecord> ListRooms(StudioSession session, string site, PageRequest page) =>
        session.Query<RoomRecord>(
            $"{RoomColumns} WHERE site = @site AND name > @after ORDER BY name LIMIT @limit",
            new { site, after = page.AfterText, limit = page.Limit });

    public static void InsertRoom(StudioTransaction tx, RoomRecord room)
    {
        if (tx.Find<RoomRecord>($"{RoomColumns} WHERE name = @Name", room) is not null) throw ResourceKind.Room.AlreadyExists(room.Name);
        tx.Execute("INSERT INTO rooms (name, site, display_name, seats, etag) VALUES (@Name, @Site, @DisplayName, @Seats, @Etag)", room);
    }

    public static void UpdateRoom(StudioTransaction tx, RoomRecord room) =>
        tx.Execute("UPDATE rooms SET display_name = @DisplayName, seats = @Seats, etag = @Etag WHERE name = @Name", room);

    /// <exception cref="Refusals.Refusal">ROOM_NOT_FOUND.</exception>
    public static void DeleteRoom(StudioTransaction tx, string name)
    {
        if (tx.ExecuteCounted("DELETE FROM rooms WHERE name = @name", new { name }) == 0) throw ResourceKind.Room.NotFound(name);
    }

    private const string StationColumns = "SELECT name, site, display_name, kind, places, minutes_a_day, etag FROM stations";

    public static StationRecord GetStation(StudioSession session, string name) =>
        session.Find<StationRecord>($"{StationColumns} WHERE name = @name", new { name }) ?? throw ResourceKind.Station.NotFound(name);

    /// <summary>Every station of a studio, by name.</summary>
    public static IReadOnlyList<StationRecord> GetStations(StudioSession session, string studio) =>
        session.Query<StationRecord>($"{StationColumns} WHERE {OfStudio} ORDER BY name", new { studio });

    public static IReadOnlyList<StationRecord> ListStations(StudioSession session, string site, PageRequest page) =>
        session.Query<StationRecord>(
            $"{StationColumns} WHERE site = @site AND name > @after ORDER BY name LIMIT @limit",
            new { site, after = page.AfterText, limit = page.Limit });

    public static void InsertStation(StudioTransaction tx, StationRecord station)
    {
        if (tx.Find<StationRecord>($"{StationColumns} WHERE name = @Name", station) is not null)
            throw ResourceKind.Station.AlreadyExists(station.Name);
        tx.Execute(
            """
            INSERT INTO stations (name, site, display_name, kind, places, minutes_a_day, etag)
            VALUES (@Name, @Site, @DisplayName, @Kind, @Places, @MinutesADay, @Etag)
            """,
            station);
    }

    public static void UpdateStation(StudioTransaction tx, StationRecord station) => tx.Execute(
        """
        UPDATE stations
           SET display_name = @DisplayName, kind = @Kind, places = @Places, minutes_a_day = @MinutesADay, etag = @Etag
         WHERE name = @Name
        """,
        station);

    /// <summary>The station goes with its outages.</summary>
    /// <exception cref="Refusals.Refusal">STATION_NOT_FOUND.</exception>
    public static void DeleteStation(StudioTransaction tx, string name)
    {
        tx.Execute("DELETE FROM outages WHERE station = @name", new { name });
        if (tx.ExecuteCounted("DELETE FROM stations WHERE name = @name", new { name }) == 0) throw ResourceKind.Station.NotFound(name);
    }

    private const string OutageColumns = "SELECT name, site, station, bench, start_ms, end_ms, reason FROM outages";

    public static OutageRecord GetOutage(StudioSession session, string name) =>
        session.Find<OutageRecord>($"{OutageColumns} WHERE name = @name", new { name }) ?? throw ResourceKind.Outage.NotFound(name);

    /// <summary>The outages of a studio that reach into a span of Unix ms, its end not included; all of them where none is given.</summary>
    public static IReadOnlyList<OutageRecord> GetOutages(
        StudioSession session, string studio, long fromMs = long.MinValue, long toMs = long.MaxValue) =>
        session.Query<OutageRecord>(
            $"{OutageColumns} WHERE {OfStudio} AND end_ms > @fromMs AND start_ms < @toMs ORDER BY start_ms, name",
            new { studio, fromMs, toMs });

    public static IReadOnlyList<OutageRecord> ListOutages(StudioSession session, string site, PageRequest page) =>
        session.Query<OutageRecord>(
            $"{OutageColumns} WHERE site = @site AND name > @after ORDER BY name LIMIT @limit",
            new { site, after = page.AfterText, limit = page.Limit });

    public static void InsertOutage(StudioTransaction tx, OutageRecord outage)
    {
        if (tx.Find<OutageRecord>($"{OutageColumns} WHERE name = @Name", outage) is not null)
            throw ResourceKind.Outage.AlreadyExists(outage.Name);
        tx.Execute(
            """
            INSERT INTO outages (name, site, station, bench, start_ms, end_ms, reason)
            VALUES (@Name, @Site, @Station, @Bench, @StartMs, @EndMs, @Reason)
            """,
            outage);
    }

    /// <exception cref="Refusals.Refusal">OUTAGE_NOT_FOUND.</exception>
    public static void DeleteOutage(StudioTransaction tx, string name)
    {
        if (tx.ExecuteCounted("DELETE FROM outages WHERE name = @name", new { name }) == 0) throw ResourceKind.Outage.NotFound(name);
    }

    /// <summary>Every way of a studio of which something is said; each pair of sites once.</summary>
    public static IReadOnlyList<TravelRecord> GetTravel(StudioSession session, string studio) =>
        session.Query<TravelRecord>(
            """
            SELECT site_a, site_b, minutes FROM travel
             WHERE site_a IN (SELECT name FROM sites WHERE studio = @studio)
             ORDER BY site_a, site_b
            """,
            new { studio });

    public static IReadOnlyList<TravelRecord> ListTravel(StudioSession session, string studio, PageRequest page) =>
        session.Query<TravelRecord>(
            """
            SELECT site_a, site_b, minutes FROM travel
             WHERE site_a IN (SELECT name FROM sites WHERE studio = @studio) AND site_a || ' ' || site_b > @after
             ORDER BY site_a || ' ' || site_b LIMIT @limit
            """,
            new { studio, after = page.AfterText, limit = page.Limit });

    /// <summary>The key of <see cref="ListTravel"/>.</summary>
    public static PageKey KeyOf(TravelRecord way) => $"{way.SiteA} {way.SiteB}";

    /// <summary>Takes the place of what was said before; a way without minutes is forgotten.</summary>
    public static void ReplaceTravel(StudioTransaction tx, TravelRecord way) => tx.Execute(
        way.Minutes is null
            ? "DELETE FROM travel WHERE site_a = @SiteA AND site_b = @SiteB"
            : """
              INSERT INTO travel (site_a, site_b, minutes) VALUES (@SiteA, @SiteB, @Minutes)
                  ON CONFLICT (site_a, site_b) DO UPDATE SET minutes = excluded.minutes
              """,
        way);
}
