using Pourwright.Studio.Names;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Sites;

/// <summary>SQL of studios, sites, contacts, benches and sensors; what teaching needs of a site stands in the other half.</summary>
public static partial class SiteStore
{
    public static StudioRecord GetStudio(StudioSession session, string name) =>
        session.FindLasting<StudioRecord>("SELECT name, display_name FROM studios WHERE name = @name", name)
        ?? throw ResourceKind.Studio.NotFound(name);

    public static IReadOnlyList<StudioRecord> ListStudios(StudioSession session, PageRequest page) =>
        session.Query<StudioRecord>(
            "SELECT name, display_name FROM studios WHERE name > @after ORDER BY name LIMIT @limit",
            new { after = page.AfterText, limit = page.Limit });

    public static void InsertStudio(StudioTransaction tx, StudioRecord studio)
    {
        if (tx.Find<StudioRecord>("SELECT name, display_name FROM studios WHERE name = @Name", studio) is not null)
            throw ResourceKind.Studio.AlreadyExists(studio.Name);
        tx.Execute("INSERT INTO studios (name, display_name) VALUES (@Name, @DisplayName)", studio);
    }

    private const string SiteColumns =
        """
        SELECT name, studio, display_name, time_zone, quiet_start_minute, quiet_end_minute, reminder_swing_ms,
               dew_point_margin_celsius, opening_days, morning_start_minute, morning_end_minute,
               afternoon_start_minute, afternoon_end_minute, etag
          FROM sites
        """;

    public static SiteRecord? FindSite(StudioSession session, string name) =>
        session.Find<SiteRecord>($"{SiteColumns} WHERE name = @name", new { name });

    public static SiteRecord GetSite(StudioSession session, string name) =>
        FindSite(session, name) ?? throw ResourceKind.Site.NotFound(name);

    /// <summary>Every site of every studio.</summary>
    public static IReadOnlyList<SiteRecord> GetSites(StudioSession session) => session.Query<SiteRecord>(SiteColumns);

    public static IReadOnlyList<SiteRecord> ListSites(StudioSession session, string studio, PageRequest page) =>
        session.Query<SiteRecord>(
            $"{SiteColumns} WHERE studio = @studio AND name > @after ORDER BY name LIMIT @limit",
            new { studio, after = page.AfterText, limit = page.Limit });

    public static void InsertSite(StudioTransaction tx, SiteRecord site, IReadOnlyList<ContactRecord> contacts)
    {
        if (FindSite(tx, site.Name) is not null) throw ResourceKind.Site.AlreadyExists(site.Name);
        tx.Execute(
            """
            INSERT INTO sites (name, studio, display_name, time_zone, quiet_start_minute, quiet_end_minute,
                               reminder_swing_ms, dew_point_margin_celsius, opening_days, morning_start_minute,
                               morning_end_minute, afternoon_start_minute, afternoon_end_minute, etag)
            VALUES (@Name, @Studio, @DisplayName, @TimeZone, @QuietStartMinute, @QuietEndMinute,
                    @ReminderSwingMs, @DewPointMarginCelsius, @OpeningDays, @MorningStartMinute,
                    @MorningEndMinute, @AfternoonStartMinute, @AfternoonEndMinute, @Etag)
            """,
            site);
        InsertContacts(tx, site.Name, contacts);
    }

    public static void UpdateSite(StudioTransaction tx, SiteRecord site, IReadOnlyList<ContactRecord> contacts)
    {
        tx.Execute(
            """
            UPDATE sites
               SET display_name = @DisplayName, time_zone = @TimeZone, quiet_start_minute = @QuietStartMinute,
                   quiet_end_minute = @QuietEndMinute, reminder_swing_ms = @ReminderSwingMs,
                   dew_point_margin_celsius = @DewPointMarginCelsius, opening_days = @OpeningDays,
                   morning_start_minute = @MorningStartMinute, morning_end_minute = @MorningEndMinute,
                   afternoon_start_minute = @AfternoonStartMinute, afternoon_end_minute = @AfternoonEndMinute, etag = @Etag
             WHERE name = @Name
            """,
            site);
        tx.Execute("DELETE FROM contacts WHERE site = @Name", site);
        InsertContacts(tx, site.Name, contacts);
    }

    public static IReadOnlyList<ContactRecord> GetContacts(StudioSession session, string site) =>
        session.Query<ContactRecord>(
            "SELECT role, display_name, email, webhook_uri FROM contacts WHERE site = @site ORDER BY position", new { site });

    private static void InsertContacts(StudioTransaction tx, string site, IReadOnlyList<ContactRecord> contacts)
    {
        for (var position = 0; position < contacts.Count; position++)
        {
            var contact = contacts[position];
            tx.Execute(
                """
                INSERT INTO contacts (site, position, role, display_name, email, webhook_uri)
                VALUES (@site, @position, @role, @DisplayName, @Email, @WebhookUri)
                """,
                new { site, position, role = (int)contact.Role, contact.DisplayName, contact.Email, contact.WebhookUri });
        }
    }

    private const string BenchColumns =
        "SELECT name, site, display_name, planned_temperature_celsius, board_thickness_mm, places, etag FROM benches";

    public static BenchRecord? FindBench(StudioSession session, string name) =>
        session.Find<BenchRecord>($"{BenchColumns} WHERE name = @name", new { name });

    public static BenchRecord GetBench(StudioSession session, string name) =>
        FindBench(session, name) ?? throw ResourceKind.Bench.NotFound(name);

    public static IReadOnlyList<BenchRecord> ListBenches(StudioSession session, string site, PageRequest page) =>
        session.Query<BenchRecord>(
            $"{BenchColumns} WHERE site = @site AND name > @after ORDER BY name LIMIT @limit",
            new { site, after = page.AfterText, limit = page.Limit });

    public static void InsertBench(StudioTransaction tx, BenchRecord bench)
    {
        if (FindBench(tx, bench.Name) is not null) throw ResourceKind.Bench.AlreadyExists(bench.Name);
        tx.Execute(
            """
            INSERT INTO benches (name, site, display_name, planned_temperature_celsius, board_thickness_mm, places, etag)
            VALUES (@Name, @Site, @DisplayName, @PlannedTemperatureCelsius, @BoardThicknessMm, @Places, @Etag)
            """,
            bench);
    }

    /// <summary>What of a bench may change, see <see cref="DescribeBench"/>.</summary>
    public static void UpdateBench(StudioTransaction tx, BenchRecord bench) => tx.Execute(
        "UPDATE benches SET display_name = @DisplayName, places = @Places, etag = @Etag WHERE name = @Name", bench);

    private const string SensorColumns =
        "SELECT name, site, display_name, bench, report_interval_ms, last_reading_ms FROM sensors";

    public static SensorRecord? FindSensor(StudioSession session, string name) =>
        session.Find<SensorRecord>($"{SensorColumns} WHERE name = @name", new { name });

    public static SensorRecord GetSensor(StudioSession session, string name) =>
        FindSensor(session, name) ?? throw ResourceKind.Sensor.NotFound(name);

    public static IReadOnlyList<SensorRecord> ListSensors(StudioSession session, string site, PageRequest page) =>
        session.Query<SensorRecord>(
            $"{SensorColumns} WHERE site = @site AND name > @after ORDER BY name LIMIT @limit",
            new { site, after = page.AfterText, limit = page.Limit });

    /// <summary>The sensors that watch a bench: its own, else those of the room.</summary>
    public static IReadOnlyList<SensorRecord> GetSensorsAt(StudioSession session, BenchRecord bench)
    {
        var sensors = session.Query<SensorRecord>(
            $"{SensorColumns} WHERE site = @Site AND (bench = @Name OR bench IS NULL) ORDER BY name", bench);
        var own = sensors.Where(sensor => sensor.Bench is not null).ToList();
        return own.Count > 0 ? own : sensors;
    }

    public static void InsertSensor(StudioTransaction tx, SensorRecord sensor)
    {
        if (FindSensor(tx, sensor.Name) is not null) throw ResourceKind.Sensor.AlreadyExists(sensor.Name);
        tx.Execute(
            """
            INSERT INTO sensors (name, site, display_name, bench, report_interval_ms)
            VALUES (@Name, @Site, @DisplayName, @Bench, @ReportIntervalMs)
            """,
            sensor);
    }
}
