using Pourwright.Studio.Lots;
using Pourwright.Studio.Pieces;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Exports;

/// <summary>SQL of exports: whole sets, each sorted by time, read a row at a time.</summary>
public static class ExportStore
{
    /// <summary>The lot, all that it reached, and all else that went into the same pieces back to its own lots.</summary>
    /// <exception cref="Refusals.Refusal">LOT_NOT_FOUND.</exception>
    public static ExportScope ScopeOfLot(StudioSession session, ExportScope scope, string lot)
    {
        LotStore.GetLot(session, lot);
        string[] mixes = [.. LotStore.DrawsOfLot(session, lot).Select(draw => draw.Mix).Distinct()];
        var pieces = session.Query<string>(
            "SELECT DISTINCT piece FROM current_pours WHERE mix IN (SELECT value FROM json_each(@mixes))", new { mixes = ExportScope.Listed(mixes) });
        return Closed(session, scope, pieces, mixes, [.. LotStore.ContainersOf(session, lot).Select(container => container.Name)]);
    }

    /// <summary>The piece, and what went into it back to its lots.</summary>
    /// <exception cref="Refusals.Refusal">PIECE_NOT_FOUND.</exception>
    public static ExportScope ScopeOfPiece(StudioSession session, ExportScope scope, string piece) =>
        Closed(session, scope, [PieceStore.GetPiece(session, piece).Name], [], []);

    /// <summary>The IANA zone of each site.</summary>
    public static IReadOnlyDictionary<string, string> Zones(StudioSession session, string studio) => session
        .Query<ZoneRow>("SELECT name, time_zone FROM sites WHERE studio = @studio", new { studio }).ToDictionary(site => site.Name, site => site.TimeZone);

    /// <summary>What makes ids of names.</summary>
    public static byte[] Key(StudioSession session) => session.Scalar<byte[]>("SELECT key FROM export_keys");

    /// <summary>Everybody whom a record names.</summary>
    public static IReadOnlyList<string> Persons(StudioSession session, string studio) => session.Query<string>(
        """
        SELECT mixer AS person FROM mixes WHERE studio = @studio
         UNION
        SELECT pourer FROM current_pours JOIN pieces ON pieces.name = current_pours.piece WHERE studio = @studio
         UNION
        SELECT checker FROM checks JOIN pieces ON pieces.name = checks.piece WHERE studio = @studio
         UNION
        SELECT worker FROM steps JOIN pieces ON pieces.name = steps.piece WHERE studio = @studio
         UNION
        SELECT finder FROM defects WHERE studio = @studio
         UNION
        SELECT person FROM piece_holds JOIN pieces ON pieces.name = piece_holds.piece WHERE studio = @studio
         ORDER BY person
        """,
        new { studio });

    public static IEnumerable<LotRow> Lots(StudioSession session, ExportScope scope) => session.Stream<LotRow>(
        """
        SELECT l.name, l.part, l.supplier, l.supplier_lot_code, l.gtin, l.label_text, l.expiry_date, e.site,
               CAST(sum(e.mass_mg) AS BIGINT) AS mass_mg, l.receive_ms
          FROM lots l JOIN current_events e ON e.lot = l.name AND e.kind = 'received'
         WHERE l.studio = @Studio AND l.receive_ms >= @FromMs AND l.receive_ms < @ToMs
           AND (@Lots IS NULL OR l.name IN (SELECT value FROM json_each(@Lots)))
         GROUP BY l.name, e.site
         ORDER BY l.receive_ms, l.name, e.site
        """,
        scope);

    // A container's contents are numbered by its fillings; where it stood is what its last event that names a site says.
    public static IEnumerable<MaterialRow> Materials(StudioSession session, ExportScope scope) => session.Stream<MaterialRow>(
        """
        WITH told AS (
            SELECT e.sequence, e.container, e.kind, e.mass_mg, e.lot, e.other_container, e.mix, e.event_ms, c.site AS last_site,
                   max(CASE WHEN e.site IS NOT NULL THEN e.sequence END) OVER own AS site_sequence,
                   count(*) FILTER (WHERE e.kind IN ('received', 'filled')) OVER own AS contents,
                   CAST(sum(e.mass_mg) OVER own AS BIGINT) AS balance_mg
              FROM containers c JOIN current_events e ON e.container = c.name
             WHERE c.studio = @Studio
            WINDOW own AS (PARTITION BY e.container ORDER BY e.sequence))
        SELECT t.sequence, t.container, t.kind, t.mass_mg, t.lot, t.other_container, t.mix, t.event_ms,
               coalesce((SELECT s.site FROM current_events s WHERE s.sequence = t.site_sequence), t.last_site) AS site,
               t.contents, t.balance_mg,
               (SELECT count(*) FROM current_events f
                 WHERE f.container = t.other_container AND f.kind IN ('received', 'filled') AND f.sequence < t.sequence) AS other_contents,
               l.supplier_lot_code, l.gtin,
               m.mixer, m.hardener_parts_per_100_resin, m.ratio_deviation_percent, r.basis, m.pot_life_end_ms, m.record_ms
          FROM told t
          LEFT JOIN lots l ON l.name = t.lot
          LEFT JOIN corrected_mixes m ON m.name = t.mix
          LEFT JOIN resin_systems r ON r.name = m.resin_system
         WHERE t.kind NOT IN ('opened', 'decanted') AND t.event_ms >= @FromMs AND t.event_ms < @ToMs
           AND (@Containers IS NULL OR CASE
                WHEN t.mix IS NOT NULL THEN t.mix IN (SELECT value FROM json_each(@Mixes))
                WHEN t.kind IN ('held', 'released') AND t.lot IS NOT NULL THEN t.lot IN (SELECT value FROM json_each(@Lots))
                ELSE t.container IN (SELECT value FROM json_each(@Containers)) END)
         ORDER BY t.event_ms, t.sequence
        """,
        scope);

    public static IEnumerable<PouredRow> Pours(StudioSession session, ExportScope scope) => session.Stream<PouredRow>(
        """
        SELECT p.name, p.piece, p.mix, p.bench, p.mass_mg, p.depth_mm, p.pour_ms, p.pourer, p.layer_count, p.record_ms,
               i.casting_class, i.mould
          FROM current_pours p JOIN pieces i ON i.name = p.piece
         WHERE i.studio = @Studio AND p.pour_ms >= @FromMs AND p.pour_ms < @ToMs
           AND (@Pieces IS NULL OR p.piece IN (SELECT value FROM json_each(@Pieces)))
         ORDER BY p.pour_ms, p.layer_count, p.name
        """,
        scope);

    // Stays end where the piece goes to another bench, the last one where it leaves its mould or is scrapped: a cure that goes on
    // is no event yet. Squares are taken about 20 °C, where rooms are, so that little is lost in their difference.
    public static IEnumerable<CureRow> Cures(StudioSession session, ExportScope scope) => session.Stream<CureRow>(
        """
        WITH ends AS (
            SELECT s.piece, min(s.step_ms) AS end_ms
              FROM steps s JOIN pieces i ON i.name = s.piece
             WHERE i.studio = @Studio AND s.kind IN (@demold, @scrap)
               AND (@Pieces IS NULL OR s.piece IN (SELECT value FROM json_each(@Pieces)))
             GROUP BY s.piece),
        arrivals AS (
            SELECT piece, bench, pour_ms AS ms FROM current_pours
             UNION ALL
            SELECT piece, bench, step_ms FROM steps WHERE bench IS NOT NULL),
        changes AS (
            SELECT piece, bench, ms, end_ms
              FROM (SELECT a.piece, a.bench, a.ms, e.end_ms, lag(a.bench) OVER (PARTITION BY a.piece ORDER BY a.ms) AS bench_before
                      FROM ends e JOIN arrivals a ON a.piece = e.piece AND a.ms < e.end_ms) AS visits
             WHERE bench_before IS DISTINCT FROM bench),
        stays AS (
            SELECT piece, bench, ms AS from_ms, coalesce(lead(ms) OVER (PARTITION BY piece ORDER BY ms), end_ms) AS to_ms FROM changes)
        SELECT s.piece, s.bench, x.name AS sensor, s.from_ms, s.to_ms,
               min(r.temperature_celsius) AS least_celsius, max(r.temperature_celsius) AS most_celsius,
               avg(r.temperature_celsius) AS mean_celsius,
               avg((r.temperature_celsius - 20) * (r.temperature_celsius - 20))
                   - avg(r.temperature_celsius - 20) * avg(r.temperature_celsius - 20) AS variance_celsius,
               min(r.relative_humidity_percent) AS least_percent, max(r.relative_humidity_percent) AS most_percent,
               avg(r.relative_humidity_percent) AS mean_percent
          FROM stays s
          JOIN benches b ON b.name = s.bench
          JOIN sensors x ON x.site = b.site
           AND (x.bench = s.bench OR x.bench IS NULL AND NOT EXISTS (SELECT 1 FROM sensors own WHERE own.site = b.site AND own.bench = s.bench))
          JOIN readings r ON r.sensor = x.name AND r.reading_ms >= s.from_ms AND r.reading_ms <= s.to_ms
         WHERE s.to_ms >= @FromMs AND s.to_ms < @ToMs
         GROUP BY s.piece, s.bench, s.from_ms, s.to_ms, x.name
         ORDER BY s.to_ms, s.piece, s.from_ms, x.name
        """,
        new { scope.Studio, scope.FromMs, scope.ToMs, scope.Pieces, demold = (int)Step.Types.Kind.Demold, scrap = (int)Step.Types.Kind.Scrap });

    public static IEnumerable<CheckRow> Checks(StudioSession session, ExportScope scope) => session.Stream<CheckRow>(
        """
        SELECT c.name, c.piece, i.site, c.check_ms, c.checker, c.touch, c.shore_d, c.record_ms
          FROM checks c JOIN pieces i ON i.name = c.piece
         WHERE i.studio = @Studio AND c.check_ms >= @FromMs AND c.check_ms < @ToMs
           AND (@Pieces IS NULL OR c.piece IN (SELECT value FROM json_each(@Pieces)))
         ORDER BY c.check_ms, c.name
        """,
        scope);

    public static IEnumerable<DefectRow> Defects(StudioSession session, ExportScope scope) => session.Stream<DefectRow>(
        """
        SELECT d.piece, i.site, d.kind, d.find_ms, d.finder
          FROM defects d JOIN pieces i ON i.name = d.piece
         WHERE d.studio = @Studio AND d.find_ms >= @FromMs AND d.find_ms < @ToMs
           AND (@Pieces IS NULL OR d.piece IN (SELECT value FROM json_each(@Pieces)))
         ORDER BY d.find_ms, d.name
        """,
        scope);

    // Each cause holds for itself: a piece is free when the last has let go. A declared recall is told even of a piece that is held.
    public static IEnumerable<PieceHoldRow> PieceHolds(StudioSession session, ExportScope scope) => session.Stream<PieceHoldRow>(
        """
        SELECT h.piece, h.site, h.kind = 'held' AS is_held, coalesce(r.name, '') AS recall, h.person, h.event_ms
          FROM (SELECT p.sequence, p.piece, i.site, p.kind, p.cause, p.person, p.event_ms,
                       sum(CASE p.kind WHEN 'held' THEN 1 ELSE -1 END) OVER (PARTITION BY p.piece ORDER BY p.sequence) AS holds
                  FROM piece_holds p JOIN pieces i ON i.name = p.piece
                 WHERE i.studio = @Studio AND (@Pieces IS NULL OR p.piece IN (SELECT value FROM json_each(@Pieces)))) h
          LEFT JOIN recalls r ON r.name = h.cause AND r.drill = 0 AND h.kind = 'held'
         WHERE (h.kind = 'held' AND (h.holds = 1 OR r.name IS NOT NULL) OR h.kind = 'released' AND h.holds = 0)
           AND h.event_ms >= @FromMs AND h.event_ms < @ToMs
         ORDER BY h.event_ms, h.sequence
        """,
        scope);

    public static IEnumerable<WasteRow> Waste(StudioSession session, ExportScope scope) => session.Stream<WasteRow>(
        """
        SELECT d.mix, NULL AS piece, m.site, d.mass_mg, d.discard_ms AS waste_ms, '' AS worker
          FROM mix_discards d JOIN current_mixes m ON m.name = d.mix
         WHERE m.studio = @Studio AND d.discard_ms >= @FromMs AND d.discard_ms < @ToMs
           AND (@Mixes IS NULL OR d.mix IN (SELECT value FROM json_each(@Mixes)))
         UNION ALL
        SELECT NULL, s.piece, i.site, 0, s.step_ms, s.worker
          FROM steps s JOIN pieces i ON i.name = s.piece
         WHERE i.studio = @Studio AND s.kind = @scrap AND s.step_ms >= @FromMs AND s.step_ms < @ToMs
           AND (@Pieces IS NULL OR s.piece IN (SELECT value FROM json_each(@Pieces)))
         ORDER BY waste_ms, 1 NULLS FIRST, 2 NULLS FIRST
        """,
        new { scope.Studio, scope.FromMs, scope.ToMs, scope.Mixes, scope.Pieces, scrap = (int)Step.Types.Kind.Scrap });

    /// <summary>Corrections of pours and mixes, first to last.</summary>
    public static IReadOnlyList<CorrectedRow> Corrections(StudioSession session, ExportScope scope) => session.Query<CorrectedRow>(
        """
        SELECT c.sequence, c.subject, c.kind, c.right_pour, c.correct_ms
          FROM corrections c JOIN sites s ON s.name = c.site
         WHERE s.studio = @Studio
           AND (@Pieces IS NULL OR c.subject IN (SELECT value FROM json_each(@Mixes))
                OR EXISTS (SELECT 1 FROM pours p
                            WHERE p.name IN (c.subject, c.right_pour) AND p.piece IN (SELECT value FROM json_each(@Pieces))))
         ORDER BY c.sequence
        """,
        scope);

    /// <summary>A pour, whether it stands or not; one that stands in the layer that it is now.</summary>
    public static PouredRow Pour(StudioSession session, string name) => session.Find<PouredRow>(
        """
        SELECT p.name, p.piece, p.mix, p.bench, p.mass_mg, p.depth_mm, p.pour_ms, p.pourer,
               coalesce(s.layer_count, p.layer_count) AS layer_count, p.record_ms, i.casting_class, i.mould
          FROM pours p JOIN pieces i ON i.name = p.piece
          LEFT JOIN current_pours s ON s.name = p.name
         WHERE p.name = @name
        """,
        new { name })!;

    /// <summary>The draws of a mix as they stood before a correction.</summary>
    public static IReadOnlyList<MaterialRow> Draws(StudioSession session, string mix, long beforeCorrection) => session.Query<MaterialRow>(
        """
        SELECT coalesce(e.place, e.sequence) AS sequence, e.container, e.kind, e.mass_mg, e.mix, e.event_ms, m.site,
               (SELECT count(*) FROM container_events f
                 WHERE f.container = e.container AND f.kind IN ('received', 'filled') AND f.sequence < coalesce(e.place, e.sequence)) AS contents,
               CAST(0 AS BIGINT) AS balance_mg,
               m.mixer, m.hardener_parts_per_100_resin, m.ratio_deviation_percent, r.basis, m.pot_life_end_ms, m.record_ms
          FROM container_events e
          JOIN corrected_mixes m ON m.name = e.mix
          JOIN resin_systems r ON r.name = m.resin_system
          LEFT JOIN container_events x ON x.corrects = e.sequence
         WHERE e.mix = @mix AND e.kind = 'mixed'
           AND coalesce(e.correction, 0) < @beforeCorrection AND coalesce(x.correction, @beforeCorrection) >= @beforeCorrection
         ORDER BY 1
        """,
        new { mix, beforeCorrection });

    /// <summary>Whatever went into the pieces and mixes, back to the lots: nothing is used whose origin is not told.</summary>
    private static ExportScope Closed(
        StudioSession session, ExportScope scope, IReadOnlyList<string> pieces, IReadOnlyList<string> mixes, IReadOnlyList<string> containers)
    {
        var ofPieces = ExportScope.Listed(pieces);
        var ofMixes = ExportScope.Listed([.. mixes, .. session.Query<string>(
            "SELECT DISTINCT mix FROM current_pours WHERE piece IN (SELECT value FROM json_each(@ofPieces))", new { ofPieces })]);
        var ofContainers = ExportScope.Listed(session.Query<string>(
            """
            WITH RECURSIVE needed (container) AS (
                SELECT container FROM current_events WHERE kind = 'mixed' AND mix IN (SELECT value FROM json_each(@ofMixes))
                 UNION
                SELECT value FROM json_each(@containers)
                 UNION
                SELECT e.other_container
                  FROM needed n JOIN current_events e ON e.container = n.container AND e.kind = 'filled')
            SELECT container FROM needed
            """,
            new { ofMixes, containers = ExportScope.Listed(containers) }));
        var lots = session.Query<string>(
            "SELECT DISTINCT lot FROM current_events WHERE kind = 'received' AND container IN (SELECT value FROM json_each(@ofContainers))", new { ofContainers });
        return scope with { Lots = ExportScope.Listed(lots), Containers = ofContainers, Mixes = ofMixes, Pieces = ofPieces };
    }

    private sealed record ZoneRow(string Name, string TimeZone);
}
