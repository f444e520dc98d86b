using Pourwright.Studio.Climate;
using Pourwright.Studio.Defects;
using Pourwright.Studio.Forecasts;
using Pourwright.Studio.Lots;
using Pourwright.Studio.Mixes;
using Pourwright.Studio.Names;
using Pourwright.Studio.Pieces;
using Pourwright.Studio.Resins;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Trace;

/// <summary>SQL and stores behind a trace. One trace is read on one view: all its parts speak of the same moment.</summary>
public static class TraceStore
{
    /// <exception cref="Refusals.Refusal">PIECE_NOT_FOUND.</exception>
    public static PieceFacts LoadPiece(StudioSession session, string name, DateTimeOffset now)
    {
        var piece = PieceStore.GetPiece(session, name);
        var pours = PieceStore.GetPours(session, name).Select(pour => LoadPour(session, pour, now)).ToList();
        Step[] steps = [.. PieceStore.GetSteps(session, name).Select(step => step.ToProto())];
        var stays = CureStay.Of([.. pours.Select(pour => pour.Pour)], steps, now);
        var zone = SiteStore.GetSite(session, piece.Site).Zone;
        return new PieceFacts
        {
            Piece = piece.ToProto(),
            Zone = zone,
            Defects = [.. DefectStore.GetDefects(session, name).Select(defect => defect.ToProto())],
            Pours = pours,
            Checks = [.. PieceStore.GetChecks(session, name).Select(check => check.ToProto())],
            Steps = steps,
            FirstForecast = ForecastStore.First(session, name)?.ToProto(withCourse: false),
            LastForecast = ForecastStore.Latest(session, name)?.ToProto(withCourse: true),
            ForecastStands = ForecastStore.StandingGates(session, name) is not null,
            Stays = stays,
            CureReadings = Along(session, stays),
            MinCureTemperatureCelsius = PieceStore.GetResinSystems(session, name)
                .Max(system => (double?)ResinStore.GetResinSystem(session, system).MinCureTemperatureCelsius),
            Sisters = SisterStore.Load(session, piece, pours, zone),
            Corrections = CorrectionStore.OfPiece(session, name),
        };
    }

    /// <exception cref="Refusals.Refusal">LOT_NOT_FOUND.</exception>
    public static LotFacts LoadLot(StudioSession session, string name)
    {
        var lot = LotStore.GetLot(session, name);
        string[] mixes = [.. LotStore.DrawsOfLot(session, name).Select(draw => draw.Mix).Distinct()];
        var outflows = mixes.SelectMany(mix => Outflows(session, mix)).ToList();
        return new LotFacts
        {
            Lot = lot.ToProto(),
            Containers = [.. LotStore.ContainersOf(session, name).Select(container => LotStore.ContentsOf(session, container).ToProto())],
            Mixes = [.. mixes.Select(mix => MixStore.ToProto(session, MixStore.GetMix(session, mix)))],
            Pieces =
            [
                .. outflows.Where(outflow => outflow.Piece is not null).GroupBy(outflow => outflow.Piece!)
                    .OrderBy(pours => pours.Key, StringComparer.Ordinal)
                    .Select(pours => LoadPiece(session, pours.Key, [.. pours.Select(pour => pour.Mix).Distinct()])),
            ],
            Moves = Moves(session, name),
            Outflows = outflows,
        };
    }

    /// <summary>What people call the places of a studio.</summary>
    public static TracePlaces LoadPlaces(StudioSession session, string studio)
    {
        var sites = session.Query<PlaceRow>("SELECT name, display_name, time_zone FROM sites WHERE studio = @studio", new { studio });
        var benches = session.Query<NameRow>(
            """
            SELECT benches.name, benches.display_name
              FROM benches JOIN sites ON sites.name = benches.site
             WHERE sites.studio = @studio
            """,
            new { studio });
        var systems = session.Query<NameRow>("SELECT name, display_name FROM resin_systems WHERE studio = @studio", new { studio });
        return new TracePlaces(
            SiteStore.GetStudio(session, studio).DisplayName,
            sites.ToDictionary(site => site.Name, site => (site.DisplayName, TimeZoneInfo.FindSystemTimeZoneById(site.TimeZone))),
            benches.ToDictionary(bench => bench.Name, bench => bench.DisplayName),
            systems.ToDictionary(system => system.Name, system => system.DisplayName));
    }

    private static PourFacts LoadPour(StudioSession session, PourRecord pour, DateTimeOffset now)
    {
        var mix = MixStore.ToProto(session, MixStore.GetMix(session, pour.Mix));
        var aroundMs = (long)TracePiece.AroundPour.TotalMilliseconds;
        var endMs = Math.Max(pour.PourMs, Math.Min(pour.PourMs + aroundMs, now.ToUnixMs()));
        return new PourFacts(
            PieceStore.ToProto(session, pour), mix,
            [.. LotStore.Draws(session, pour.Mix).Select(draw => LoadDraw(session, draw))],
            Along(session, [new(pour.Bench, pour.PourMs - aroundMs, endMs)]));
    }

    private static DrawTrace LoadDraw(StudioSession session, DrawRecord draw) => new()
    {
        Draw = new() { Container = draw.Container, MassMg = draw.MassMg },
        Part = draw.Part,
        Lots = { LotStore.LotsIn(session, draw.Container, draw.Sequence).Select(lot => lot.ToProto()) },
    };

    /// <summary>Readings along stays at benches, with those around the ends that carry the curve up to them.</summary>
    private static RoomReadings Along(StudioSession session, IReadOnlyList<CureStay> stays)
    {
        List<ReadingRecord> readings = [];
        long intervalMs = 0;
        foreach (var stay in stays)
        {
            var sensors = SiteStore.GetSensorsAt(session, SiteStore.GetBench(session, stay.Bench));
            var stayIntervalMs = ClimateStore.IntervalMs(sensors);
            var aroundMs = ClimateSpans.IntervalsToGap * stayIntervalMs;
            var fromMs = stay == stays[0] ? stay.FromMs - aroundMs : stay.FromMs;
            var toMs = stay == stays[^1] ? stay.ToMs + aroundMs : stay.ToMs;
            readings.AddRange(ClimateStore.GetReadings(session, sensors, fromMs, toMs));
            intervalMs = Math.Max(intervalMs, stayIntervalMs);
        }
        return new RoomReadings(readings, intervalMs);
    }

    private static LotPieceFacts LoadPiece(StudioSession session, string name, IReadOnlyList<string> mixes)
    {
        var piece = PieceStore.GetPiece(session, name);
        return new LotPieceFacts(
            piece.ToProto(), SiteStore.GetSite(session, piece.Site).DisplayName, mixes,
            [.. DefectStore.GetDefects(session, name).Select(defect => defect.ToProto())]);
    }

    /// <summary>What left a mix, first to last.</summary>
    private static IReadOnlyList<MixOutflow> Outflows(StudioSession session, string mix) => session.Query<MixOutflow>(
        """
        SELECT mix, piece, mass_mg FROM (
            SELECT mix, piece, mass_mg, pour_ms AS left_ms FROM current_pours WHERE mix = @mix
             UNION ALL
            SELECT mix, NULL, mass_mg, discard_ms FROM mix_discards WHERE mix = @mix) AS outflows
         ORDER BY left_ms
        """,
        new { mix });

    // Forward to every container that the lot reached and every mix that drew on one since; then all the containers that those
    // mixes drew on, and backward to all that filled any of them: enough to know the proportions in each at every moment.
    /// <summary>All events from which the shares of a lot follow.</summary>
    public static IReadOnlyList<ContainerMove> Moves(StudioSession session, string lot) => session.Query<ContainerMove>(
        """
        WITH RECURSIVE holding (container, since) AS (
            SELECT container, sequence FROM container_events WHERE lot = @lot AND kind = 'received'
             UNION
            SELECT e.container, e.sequence
              FROM holding h
              JOIN container_events e ON e.other_container = h.container AND e.kind = 'filled' AND e.sequence > h.since),
        drawn (container) AS (
            SELECT container FROM holding
             UNION
            SELECT other.container
              FROM (SELECT container, min(since) AS since FROM holding GROUP BY container) h
              JOIN current_events e ON e.container = h.container AND e.kind = 'mixed' AND e.recorded_sequence > h.since AND e.sequence > h.since
              JOIN current_events other ON other.mix = e.mix AND other.kind = 'mixed'),
        needed (container) AS (
            SELECT container FROM drawn
             UNION
            SELECT e.other_container
              FROM needed n
              JOIN container_events e ON e.container = n.container AND e.kind = 'filled')
        SELECT e.sequence, e.container, e.kind, e.mass_mg, e.lot, e.other_container, e.mix
          FROM current_events e
         WHERE e.container IN (SELECT container FROM needed)
         ORDER BY e.sequence, e.recorded_sequence
        """,
        new { lot });

    private sealed record PlaceRow(string Name, string DisplayName, string TimeZone);

    private sealed record NameRow(string Name, string DisplayName);
}
