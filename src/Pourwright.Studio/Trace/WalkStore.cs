using Pourwright.Studio.Lots;
using Pourwright.Studio.Mixes;
using Pourwright.Studio.Names;
using Pourwright.Studio.Pieces;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Trace;

/// <summary>SQL of the bare walks: one query back from a piece, one forward from a lot, a container or a mix.</summary>
public static class WalkStore
{
    // Each container stands for what was in it at one moment: what filled it later is in no earlier draw.
    private const string Back =
        """
        WITH RECURSIVE drawn (mix, drawn_from, container, before) AS (
            SELECT e.mix, e.container, e.container, e.sequence
              FROM current_pours p
              JOIN current_events e ON e.mix = p.mix AND e.kind = 'mixed'
             WHERE p.piece = @piece
             UNION
            SELECT d.mix, d.drawn_from, e.other_container, e.sequence
              FROM drawn d
              JOIN container_events e ON e.container = d.container AND e.kind = 'filled' AND e.sequence < d.before)
        SELECT DISTINCT e.lot, d.drawn_from AS container, d.mix
          FROM drawn d
          JOIN container_events e ON e.container = d.container AND e.kind = 'received' AND e.sequence < d.before
         ORDER BY d.mix, d.drawn_from, e.lot
        """;

    private const string FromLot = "SELECT container, sequence FROM container_events WHERE lot = @name AND kind = 'received'";

    private const string FromContainer = "SELECT @name, CAST(0 AS BIGINT)";

    private const string Reached =
        """
        SELECT pieces.name, pieces.label, pieces.site, sites.display_name AS site_display_name, pieces.state, pieces.maker, pours.mix
          FROM reached
          JOIN current_pours pours ON pours.mix = reached.mix
          JOIN pieces ON pieces.name = pours.piece
          JOIN sites ON sites.name = pieces.site
         ORDER BY pieces.name, pours.pour_ms
        """;

    /// <summary>By mix, container and lot.</summary>
    /// <exception cref="Refusals.Refusal">PIECE_NOT_FOUND.</exception>
    public static IReadOnlyList<OriginRow> Origins(StudioSession session, string piece)
    {
        var origins = session.Query<OriginRow>(Back, new { piece });
        if (origins.Count == 0) PieceStore.GetPiece(session, piece);
        return origins;
    }

    /// <summary>A row for each pour, by piece and then in the order of the pours.</summary>
    /// <exception cref="Refusals.Refusal">LOT_NOT_FOUND, CONTAINER_NOT_FOUND, MIX_NOT_FOUND.</exception>
    public static IReadOnlyList<ReachedRow> ReachedFrom(StudioSession session, string name)
    {
        var reached = session.Query<ReachedRow>(QueryFrom(name), new { name });
        if (reached.Count == 0) RequireStart(session, name);
        return reached;
    }

    private static void RequireStart(StudioSession session, string name)
    {
        if (ResourceKind.Lot.Matches(name)) LotStore.GetLot(session, name);
        else if (ResourceKind.Container.Matches(name)) LotStore.GetContainer(session, name);
        else MixStore.GetMix(session, name);
    }

    public static bool CanStartFrom(string name) =>
        ResourceKind.Lot.Matches(name) || ResourceKind.Container.Matches(name) || ResourceKind.Mix.Matches(name);

    /// <summary>The query that <see cref="ReachedFrom"/> runs; its one parameter is <c>@name</c>.</summary>
    public static string QueryFrom(string name) =>
        ResourceKind.Mix.Matches(name) ? $"WITH reached (mix) AS (SELECT @name) {Reached}"
        : $"{Forward(ResourceKind.Lot.Matches(name) ? FromLot : FromContainer)} {Reached}";

    private static string Forward(string start) =>
        $"""
        WITH RECURSIVE holding (container, since) AS (
            {start}
             UNION
            SELECT e.container, e.sequence
              FROM holding h
              JOIN container_events e ON e.other_container = h.container AND e.kind = 'filled' AND e.sequence > h.since),
        reached (mix) AS (
            SELECT DISTINCT e.mix
              FROM (SELECT container, min(since) AS since FROM holding GROUP BY container) h
              JOIN current_events e ON e.container = h.container AND e.kind = 'mixed' AND e.recorded_sequence > h.since AND e.sequence > h.since)
        """;
}

/// <summary>A lot, the container it was drawn from, and the mix.</summary>
public sealed record OriginRow(string Lot, string Container, string Mix)
{
    public V1.PieceOrigins.Types.Origin ToProto() => new() { Lot = Lot, Container = Container, Mix = Mix };
}

/// <summary>A pour into a piece that was reached.</summary>
public sealed record ReachedRow(string Name, string Label, string Site, string SiteDisplayName, V1.Piece.Types.State State, string Maker, string Mix);
