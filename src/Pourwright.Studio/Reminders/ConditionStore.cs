using Pourwright.Studio.Climate;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Reminders;

/// <summary>SQL of what the sweeps look at: sensors, climate and containers. State 2 of a piece is curing, 3 of a container spent.</summary>
public static class ConditionStore
{
    /// <summary>Sensors that watch a bench where pieces cure: the bench's own, else those of the room.</summary>
    public static IReadOnlyList<WatchingSensor> WatchingSensors(StudioSession session) => session.Query<WatchingSensor>(
        """
        SELECT s.name, s.site, st.studio, st.time_zone, s.display_name || ' at ' || st.display_name AS display_name,
               s.report_interval_ms, s.last_reading_ms, min(po.pour_ms) AS curing_since_ms
          FROM pieces p
          JOIN current_pours po ON po.piece = p.name
          JOIN sensors s ON s.site = p.site
           AND (s.bench = p.bench
                OR s.bench IS NULL AND NOT EXISTS (SELECT 1 FROM sensors own WHERE own.bench = p.bench))
          JOIN sites st ON st.name = s.site
         WHERE p.state = 2
         GROUP BY s.name, s.site, st.studio, st.time_zone, s.display_name, st.display_name, s.report_interval_ms, s.last_reading_ms
         ORDER BY s.name
        """);

    /// <summary>Every bench where pieces cure, once a sensor that watches it, with its newest reading; once without, where none does.</summary>
    public static IReadOnlyList<WatchedBench> WatchedBenches(StudioSession session)
    {
        var benches = session.Query<WatchedBench>(
            """
            SELECT b.name, b.site, st.studio, b.display_name || ' at ' || st.display_name AS display_name, st.dew_point_margin_celsius
              FROM benches b
              JOIN sites st ON st.name = b.site
             WHERE b.name IN (SELECT bench FROM pieces WHERE state = 2)
             ORDER BY b.name
            """);
        return [.. benches.SelectMany(bench => SiteStore.GetSensorsAt(session, SiteStore.GetBench(session, bench.Name))
            .Select(sensor => bench with
            {
                ReportIntervalMs = sensor.ReportIntervalMs,
                Reading = ClimateStore.LastReading(session, [sensor]),
            })
            .DefaultIfEmpty(bench))];
    }

    public static IReadOnlyList<ExpiringContainer> ExpiringContainers(StudioSession session, long horizonMs, int limit) =>
        session.Query<ExpiringContainer>(
            """
            SELECT c.name, c.studio, c.site, st.time_zone, c.part, c.remaining_mass_mg, c.expire_ms
              FROM containers c
              JOIN sites st ON st.name = c.site
             WHERE c.state <> 3 AND c.remaining_mass_mg > 0 AND c.expire_ms <= @horizonMs
               AND NOT EXISTS (SELECT 1 FROM reminders r WHERE r.subject = c.name AND r.kind = 5 AND r.state <> 4)
             ORDER BY c.expire_ms, c.name LIMIT @limit
            """, new { horizonMs, limit });
}
