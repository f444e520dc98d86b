using Pourwright.Studio.Names;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Climate;

/// <summary>SQL of readings and of the benches they touch.</summary>
public static class ClimateStore
{
    private const string Columns =
        """
        SELECT sensor, reading_ms, temperature_celsius, relative_humidity_percent, surface_temperature_celsius
          FROM readings
        """;

    /// <summary>Adds a reading; false where the sensor has one of that instant already.</summary>
    public static bool TryInsert(StudioTransaction tx, ReadingRecord reading) => tx.ExecuteCounted(
        """
        INSERT INTO readings (sensor, reading_ms, temperature_celsius, relative_humidity_percent, surface_temperature_celsius)
        VALUES (@Sensor, @ReadingMs, @TemperatureCelsius, @RelativeHumidityPercent, @SurfaceTemperatureCelsius)
        ON CONFLICT (sensor, reading_ms) DO NOTHING
        """, reading) == 1;

    /// <summary>The reading of a sensor at one instant, which must be there.</summary>
    public static ReadingRecord GetReading(StudioSession session, string sensor, long readingMs) =>
        session.Query<ReadingRecord>($"{Columns} WHERE sensor = @sensor AND reading_ms = @readingMs", new { sensor, readingMs })[0];

    /// <summary>Readings of a sensor from an instant, inclusive, to another, exclusive, first to last.</summary>
    public static IReadOnlyList<ReadingRecord> ListReadings(StudioSession session, string sensor, long fromMs, long toMs, PageRequest page) =>
        session.Query<ReadingRecord>(
            $"""
            {Columns}
             WHERE sensor = @sensor AND reading_ms >= @fromMs AND reading_ms < @toMs AND reading_ms > @after
             ORDER BY reading_ms LIMIT @limit
            """,
            new { sensor, fromMs, toMs, after = page.AfterNumber, limit = page.Limit });

    /// <summary>Readings that speak for a bench, those of its own sensors, else the room's; from inclusive, to exclusive, first to last.</summary>
    public static IReadOnlyList<ReadingRecord> GetBenchReadings(StudioSession session, string bench, long fromMs, long toMs) =>
        GetReadings(session, SiteStore.GetSensorsAt(session, SiteStore.GetBench(session, bench)), fromMs, toMs);

    /// <summary>Readings of some sensors as one series; from inclusive, to exclusive, first to last.</summary>
    public static IReadOnlyList<ReadingRecord> GetReadings(
        StudioSession session, IEnumerable<SensorRecord> sensors, long fromMs, long toMs) =>
        [.. sensors.SelectMany(sensor => session.Query<ReadingRecord>(
            $"{Columns} WHERE sensor = @sensor AND reading_ms >= @fromMs AND reading_ms < @toMs",
            new { sensor = sensor.Name, fromMs, toMs })).OrderBy(reading => reading.ReadingMs)];

    /// <summary>How often a bench is reported on: with several sensors, as often as the slowest, so that one of them silent is no gap.</summary>
    public static long IntervalMs(IReadOnlyList<SensorRecord> sensors) => sensors.Count == 0
        ? (long)DescribeSite.ReportIntervalDefault.TotalMilliseconds
        : sensors.Max(sensor => sensor.ReportIntervalMs);

    /// <summary>The newest reading of some sensors; null where there is none.</summary>
    public static ReadingRecord? LastReading(StudioSession session, IEnumerable<SensorRecord> sensors) => sensors
        .Select(sensor => session.Find<ReadingRecord>(
            $"{Columns} WHERE sensor = @Name ORDER BY reading_ms DESC LIMIT 1", sensor))
        .MaxBy(reading => reading?.ReadingMs);

    /// <summary>Moves a sensor's last reading on; a late reading leaves it.</summary>
    public static void RaiseLastReading(StudioTransaction tx, string sensor, long readingMs) => tx.Execute(
        """
        UPDATE sensors SET last_reading_ms = @readingMs
         WHERE name = @sensor AND (last_reading_ms IS NULL OR last_reading_ms < @readingMs)
        """, new { sensor, readingMs });

    /// <summary>Marks the benches whose pieces are forecast again, since a sensor has new readings.</summary>
    /// <remarks>
    /// Those are the benches where a curing piece stands now that stood, now or earlier, where the sensor speaks: at the sensor's
    /// bench, or for a room's sensor at a bench without one of its own. A due time is only ever brought forward: the first reading
    /// sets it, and it lies before the end of any claim (see Forecasts/TouchedBenches).
    /// </remarks>
    public static void TouchBenches(StudioTransaction tx, SensorRecord sensor, long dueMs) => tx.Execute(
        """
        INSERT INTO benches_touched (bench, due_ms)
        WITH stood AS (
            SELECT pieces.bench AS bench, pours.bench AS at
              FROM pieces JOIN current_pours pours ON pours.piece = pieces.name
             WHERE pieces.state IN (2, 3) AND pieces.bench >= @first AND pieces.bench < @last
             UNION
            SELECT pieces.bench, steps.bench
              FROM pieces JOIN steps ON steps.piece = pieces.name
             WHERE pieces.state IN (2, 3) AND pieces.bench >= @first AND pieces.bench < @last AND steps.bench IS NOT NULL)
        SELECT DISTINCT bench, @dueMs FROM stood
         WHERE at = @own OR (@own IS NULL AND NOT EXISTS (SELECT 1 FROM sensors WHERE sensors.bench = stood.at))
            ON CONFLICT (bench) DO UPDATE SET due_ms = excluded.due_ms WHERE excluded.due_ms < benches_touched.due_ms
        """,
        // '0' follows '/' in ASCII: between the two lie all benches of the site, and the index of curing pieces finds them.
        new { own = sensor.Bench, dueMs, first = $"{sensor.Site}/benches/", last = $"{sensor.Site}/benches0" });
}
