using Pourwright.Studio.Climate;
using Pourwright.Studio.Lots;
using Pourwright.Studio.Resins;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Suspects;

/// <summary>SQL behind suspects: a dozen queries, whatever the number of pieces.</summary>
public static class SuspectStore
{
    /// <summary>Before a first pour and after a last look: readings that carry lines over the ends.</summary>
    private const long AroundMs = 24 * 3_600_000L;

    private const string Scope =
        """
        WITH scope (piece) AS (
            SELECT p.name FROM pieces p
             WHERE p.studio = @Studio AND (@Piece = '' OR p.name = @Piece) AND (@everySite = 1 OR p.site IN @Sites)
               AND (SELECT min(pour_ms) FROM current_pours c WHERE c.piece = p.name) BETWEEN @FromMs AND @lastMs)
        """;

    /// <summary>Everything of the poured pieces of a scope. The studio and its sites must be there.</summary>
    public static SuspectRecords Load(StudioSession session, SuspectScope scope)
    {
        var pours = Pours(session, scope);
        var steps = Steps(session, scope);
        var defects = Defects(session, scope);
        long[] looks = [.. pours.Select(pour => pour.PourMs), .. steps.Select(step => step.StepMs), .. defects.Select(defect => defect.FindMs)];
        return Light(session, scope, pours, steps, defects) with
        {
            Draws = pours.Count == 0 ? Nothing<DrawnLot>() : LotStore.DrawnLots(session, scope.Studio, pours.Min(pour => pour.MixMs), pours.Max(pour => pour.MixMs) + 1)
                .ToLookup(draw => draw.Mix),
            Instructors = Instructors(session, scope),
            Resins = pours.Select(pour => pour.ResinSystem).Distinct().ToDictionary(name => name, name => ResinStore.GetResinSystem(session, name)),
            Air = pours.Count == 0 ? new([], [], []) : Air(session, scope.Studio, pours, looks.Min() - AroundMs, looks.Max() + AroundMs),
        };
    }

    /// <summary>Only what tells whether, when and where pieces were inspected.</summary>
    public static SuspectRecords LoadInspections(StudioSession session, SuspectScope scope) =>
        Light(session, scope, Pours(session, scope), Steps(session, scope), Defects(session, scope));

    /// <summary>Changes with every defect that is reported.</summary>
    public static long CountDefects(StudioSession session) => session.Scalar<long>("SELECT count(*) FROM defects");

    private static SuspectRecords Light(
        StudioSession session, SuspectScope scope, IReadOnlyList<PourRow> pours, IReadOnlyList<StepRow> steps, IReadOnlyList<DefectRow> defects) => new()
    {
        Scope = scope,
        Pieces = Query<PieceRow>(session, scope,
            """
            SELECT p.name, p.site, p.casting_class, p.mould, p.wood_moisture_percent, p.channel_width_mm, p.state
              FROM pieces p WHERE p.name IN (SELECT piece FROM scope) ORDER BY p.name
            """),
        Pours = pours.ToLookup(pour => pour.Piece),
        Steps = steps.ToLookup(step => step.Piece),
        Defects = defects.ToLookup(defect => defect.Piece),
        Touches = Query<TouchRow>(session, scope,
            """
            SELECT c.piece, c.check_ms, c.touch FROM checks c
             WHERE c.touch <> 0 AND c.piece IN (SELECT piece FROM scope) ORDER BY c.check_ms, c.record_ms, c.name
            """).ToLookup(touch => touch.Piece),
        Draws = Nothing<DrawnLot>(),
        Instructors = Nothing<string>(),
        Resins = new Dictionary<string, ResinSystemRecord>(),
        Sites = SiteStore.GetSites(session).Where(site => site.Studio == scope.Studio).ToDictionary(site => site.Name),
        Air = new([], [], []),
    };

    private static IReadOnlyList<PourRow> Pours(StudioSession session, SuspectScope scope) => Query<PourRow>(session, scope,
        """
        SELECT po.piece, po.mix, po.bench, po.depth_mm, po.pour_ms, po.pourer,
               coalesce(po.resin_temperature_celsius, m.temperature_celsius) AS resin_temperature_celsius,
               m.site AS mix_site, m.resin_system, m.mix_ms, m.mixer, m.scale, m.ratio_deviation_percent
          FROM current_pours po JOIN corrected_mixes m ON m.name = po.mix
         WHERE po.piece IN (SELECT piece FROM scope) ORDER BY po.piece, po.layer_count
        """);

    private static IReadOnlyList<StepRow> Steps(StudioSession session, SuspectScope scope) => Query<StepRow>(session, scope,
        """
        SELECT s.piece, s.kind, s.step_ms, s.bench FROM steps s
         WHERE s.piece IN (SELECT piece FROM scope) ORDER BY s.step_ms, s.record_ms, s.name
        """);

    private static IReadOnlyList<DefectRow> Defects(StudioSession session, SuspectScope scope) => Query<DefectRow>(session, scope,
        """
        SELECT d.name, d.piece, d.kind, d.find_ms FROM defects d
         WHERE d.piece IN (SELECT piece FROM scope) ORDER BY d.find_ms, d.name
        """);

    // Kind 1 is the pour, state 3 cancelled.
    private static ILookup<string, string> Instructors(StudioSession session, SuspectScope scope) => Query<TaughtClass>(session, scope,
        """
        SELECT DISTINCT s.class, s.instructor FROM sessions s
         WHERE s.kind = 1 AND s.state <> 3
           AND s.class IN (SELECT p.casting_class FROM pieces p WHERE p.name IN (SELECT piece FROM scope))
         ORDER BY s.class, s.instructor
        """).ToLookup(taught => taught.Class, taught => taught.Instructor);

    private static RecordedAir Air(StudioSession session, string studio, IReadOnlyList<PourRow> pours, long fromMs, long toMs)
    {
        var benches = session.Query<BenchRecord>(
            """
            SELECT b.name, b.site, b.display_name, b.planned_temperature_celsius, b.board_thickness_mm, b.places, b.etag
              FROM benches b JOIN sites t ON t.name = b.site WHERE t.studio = @studio
            """, new { studio });
        var poured = pours.Select(pour => pour.Bench).ToHashSet();
        string[] sites = [.. benches.Where(bench => poured.Contains(bench.Name)).Select(bench => bench.Site).Distinct()];
        var sensors = session.Query<SensorRecord>(
            "SELECT name, site, display_name, bench, report_interval_ms, last_reading_ms FROM sensors WHERE site IN @sites ORDER BY name", new { sites });
        var readings = session.Query<ReadingRecord>(
            """
            SELECT sensor, reading_ms, temperature_celsius, relative_humidity_percent, surface_temperature_celsius
              FROM readings
             WHERE sensor IN @names AND reading_ms >= @fromMs AND reading_ms < @toMs
             ORDER BY sensor, reading_ms
            """, new { names = sensors.Select(sensor => sensor.Name), fromMs, toMs });
        return new(benches, sensors, readings);
    }

    private static IReadOnlyList<T> Query<T>(StudioSession session, SuspectScope scope, string sql) => session.Query<T>($"{Scope}\n{sql}",
        new { scope.Studio, scope.Piece, scope.Sites, scope.FromMs, lastMs = scope.ToMs - 1, everySite = scope.Sites.Count == 0 ? 1 : 0 });

    private static ILookup<string, T> Nothing<T>() => Array.Empty<(string Key, T Value)>().ToLookup(pair => pair.Key, pair => pair.Value);
}
