using Pourwright.Studio.Lots;
using Pourwright.Studio.Mixes;
using Pourwright.Studio.Names;
using Pourwright.Studio.Pieces;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Recalls;

/// <summary>SQL of what something may have reached. A statement for some hundred names, not one a piece: a list is made inside the writer.</summary>
public static class ReachStore
{
    /// <summary>Names a statement: far below the number of parameters that an engine takes.</summary>
    private const int NamesMax = 500;

    /// <exception cref="Refusals.Refusal">LOT_NOT_FOUND, CONTAINER_NOT_FOUND, MIX_NOT_FOUND, PIECE_NOT_FOUND, SITE_NOT_FOUND.</exception>
    public static Reach Load(StudioSession session, RecallFrom from)
    {
        if (from.Kind == ResourceKind.Lot) return OfLots(session, [LotStore.GetLot(session, from.Name)]);
        if (from.Kind == ResourceKind.Container) return OfContainer(session, LotStore.GetContainer(session, from.Name).Name);
        if (from.Kind == ResourceKind.Mix) return OfMixes(session, [MixStore.GetMix(session, from.Name).Name]);
        return from.Kind == ResourceKind.Piece
            ? OfLots(session, Ancestry(session, PieceStore.GetPiece(session, from.Name).Name).Lots)
            : OfDay(session, SiteStore.GetSite(session, from.Name), from.Day!.Value);
    }

    /// <summary>All that holds some of these lots.</summary>
    public static Reach OfLots(StudioSession session, IReadOnlyList<LotRecord> lots) => OfMixes(
        session, [.. lots.SelectMany(lot => LotStore.DrawsOfLot(session, lot.Name)).Select(draw => draw.Mix).Distinct()]) with
    {
        Lots = lots,
        Stock = Stock(session, lots.SelectMany(lot => LotStore.ContainersOf(session, lot.Name))),
    };

    /// <summary>All that holds some of these mixes; the stock behind them is not reached.</summary>
    public static Reach OfMixes(StudioSession session, IReadOnlyList<string> mixes) => new()
    {
        Mixes = MixStore.GetMixes(session, mixes),
        Pieces = Pieces(session, Shares(session, mixes)),
    };

    /// <summary>What a piece was made of, back to its lots, by the way the containers were filled.</summary>
    public static PieceAncestry Ancestry(StudioSession session, string piece)
    {
        var mixes = PieceStore.GetPours(session, piece).Select(pour => pour.Mix).Distinct().ToList();
        var draws = mixes.SelectMany(mix => LotStore.Draws(session, mix)).ToList();
        return new(mixes,
            [.. draws.SelectMany(draw => LotStore.ContainersInside(session, draw.Container, draw.Sequence)).Distinct().Order(StringComparer.Ordinal)],
            [.. draws.SelectMany(draw => LotStore.LotsIn(session, draw.Container, draw.Sequence)).DistinctBy(lot => lot.Name)
                .OrderBy(lot => lot.Name, StringComparer.Ordinal)]);
    }

    /// <summary>Other deliveries of what a supplier made as one lot with one of these; each once, without these.</summary>
    public static IReadOnlyList<LotRecord> OtherDeliveries(StudioSession session, IReadOnlyList<LotRecord> lots) =>
    [
        .. lots.SelectMany(lot => LotLabel.OtherDeliveries(LotStore.LotsOfSupplierCode(session, lot.Studio, lot.SupplierLotCode), lot))
            .ExceptBy(lots.Select(lot => lot.Name), lot => lot.Name).OrderBy(lot => lot.Name, StringComparer.Ordinal),
    ];

    /// <summary>How many pieces of a studio were poured.</summary>
    public static int PouredCount(StudioSession session, string studio) =>
        (int)session.Scalar<long>("SELECT count(*) FROM pieces WHERE studio = @studio AND state <> 1", new { studio });

    /// <summary>One of the poured pieces of a studio in the order of their names, counted from 0.</summary>
    public static string PouredAt(StudioSession session, string studio, int index) => session.Scalar<string>(
        "SELECT name FROM pieces WHERE studio = @studio AND state <> 1 ORDER BY name LIMIT 1 OFFSET @index", new { studio, index });

    private static Reach OfContainer(StudioSession session, string container) => OfMixes(
        session, [.. LotStore.DrawsFrom(session, container).Select(draw => draw.Mix).Distinct()]) with
    {
        Stock = Stock(session, LotStore.ContainersFrom(session, container)),
        HoldsContainers = true,
    };

    /// <summary>All that was mixed at a site on a local day, wherever it went, and all that was poured there.</summary>
    private static Reach OfDay(StudioSession session, SiteRecord site, DateOnly day)
    {
        var span = new
        {
            site = site.Name,
            fromMs = LocalTimes.Nearest(site.TimeZone, day, 0).UtcMs,
            toMs = LocalTimes.Nearest(site.TimeZone, day.AddDays(1), 0).UtcMs,
        };
        var mixed = session.Query<string>("SELECT name FROM current_mixes WHERE site = @site AND mix_ms >= @fromMs AND mix_ms < @toMs", span);
        var poured = session.Query<MixShare>(
            """
            SELECT DISTINCT pours.piece, pours.mix
              FROM benches JOIN current_pours pours ON pours.bench = benches.name
             WHERE benches.site = @site AND pours.pour_ms >= @fromMs AND pours.pour_ms < @toMs
            """, span);
        return new()
        {
            Mixes = MixStore.GetMixes(session, mixed.Union(poured.Select(share => share.Mix))),
            Pieces = Pieces(session, [.. Shares(session, mixed).Union(poured)]),
        };
    }

    private static IReadOnlyList<MixShare> Shares(StudioSession session, IReadOnlyList<string> mixes) =>
        [.. mixes.Chunk(NamesMax).SelectMany(some => session.Query<MixShare>(
            "SELECT DISTINCT piece, mix FROM current_pours WHERE mix IN @some", new { some }))];

    private static IReadOnlyList<ReachedPiece> Pieces(StudioSession session, IReadOnlyList<MixShare> shares)
    {
        var mixes = shares.ToLookup(share => share.Piece, share => share.Mix);
        string[] names = [.. mixes.Select(piece => piece.Key)];
        var finished = names.Chunk(NamesMax).SelectMany(some => session.Query<string>(
            "SELECT DISTINCT piece FROM steps WHERE kind = 6 AND piece IN @some", new { some })).ToHashSet();
        return [.. PieceStore.GetPieces(session, names).Select(piece => new ReachedPiece(
            piece, [.. mixes[piece.Name].Order(StringComparer.Ordinal)], finished.Contains(piece.Name)))];
    }

    private static IReadOnlyList<ContainerContents> Stock(StudioSession session, IEnumerable<ContainerRecord> containers) =>
    [
        .. containers.DistinctBy(container => container.Name).Where(container => container.RemainingMassMg > 0)
            .OrderBy(container => container.Name, StringComparer.Ordinal).Select(container => LotStore.ContentsOf(session, container)),
    ];

    private sealed record MixShare(string Piece, string Mix);
}

/// <summary>What a piece was made of: mixes first to last, containers and lots by name.</summary>
public sealed record PieceAncestry(IReadOnlyList<string> Mixes, IReadOnlyList<string> Containers, IReadOnlyList<LotRecord> Lots);
