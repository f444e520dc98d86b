using Pourwright.Studio.Mixes;
using Pourwright.Studio.Trace;
using Pourwright.V1;
using Where = Pourwright.V1.RecallPiece.Types.Where;

namespace Pourwright.Studio.Recalls;

/// <summary>Puts what was reached into a list: who has it, where it stands, how much is left.</summary>
public static class ListRecall
{
    /// <summary>Pieces with their makers stand first: these cannot be held, only told.</summary>
    private static readonly Where[] Order = [Where.HandedOver, Where.Finished, Where.InHouse, Where.Curing, Where.Scrapped];

    public static RecallList Decide(Reach reach, TracePlaces places) => new()
    {
        Pieces = { Sorted(reach.Pieces.Select(reached => Line(reached, places))) },
        Stock = { reach.Stock.Select(Line) },
        OpenMixes = { reach.Mixes.Where(mix => mix.RemainingMassMg > 0).Select(Line) },
        Lots = { reach.Lots.Select(lot => lot.Name) },
        Mixes = { reach.Mixes.Select(mix => mix.Name) },
    };

    /// <summary>The list as it was frozen, with where its pieces are and what is held now, and behind it what has joined since.</summary>
    public static RecallList Since(RecallList frozen, RecallList now)
    {
        var list = frozen.Clone();
        var piecesNow = now.Pieces.ToDictionary(piece => piece.Piece);
        var heldStock = now.Stock.Where(stock => stock.Held).Select(stock => stock.Container).ToHashSet();
        foreach (var piece in list.Pieces) Refresh(piece, piecesNow.GetValueOrDefault(piece.Piece));
        RecallPiece[] sorted = [.. Sorted(list.Pieces)];
        list.Pieces.Clear();
        list.Pieces.Add(sorted);
        foreach (var stock in list.Stock) stock.Held = heldStock.Contains(stock.Container);
        list.Pieces.Add(Joined(now.Pieces, frozen.Pieces, piece => piece.Piece, piece => piece.Joined = true));
        list.Stock.Add(Joined(now.Stock, frozen.Stock, stock => stock.Container, stock => stock.Joined = true));
        list.OpenMixes.Add(Joined(now.OpenMixes.Where(mix => !frozen.Mixes.Contains(mix.Mix)), [], mix => mix.Mix, mix => mix.Joined = true));
        return list;
    }

    private static IEnumerable<RecallPiece> Sorted(IEnumerable<RecallPiece> pieces) =>
        pieces.OrderBy(piece => Array.IndexOf(Order, piece.Where)).ThenBy(piece => piece.Piece, StringComparer.Ordinal);

    /// <summary>A piece that a correction took out of reach is told of as it was found.</summary>
    private static void Refresh(RecallPiece piece, RecallPiece? now)
    {
        piece.Held = now?.Held ?? false;
        if (now is null || now.Where == piece.Where) return;
        (piece.FoundWhere, piece.Where, piece.Holder) = (piece.Where, now.Where, now.Holder);
    }

    private static List<T> Joined<T>(IEnumerable<T> now, IEnumerable<T> frozen, Func<T, string> key, Action<T> mark)
    {
        List<T> joined = [.. now.ExceptBy(frozen.Select(key), key)];
        joined.ForEach(mark);
        return joined;
    }

    private static RecallPiece Line(ReachedPiece reached, TracePlaces places)
    {
        var piece = reached.Piece;
        var where = WhereIs(reached);
        return new()
        {
            Piece = piece.Name,
            Label = piece.Label,
            Site = piece.Site,
            Where = where,
            Holder = where switch
            {
                Where.HandedOver => piece.Maker.Length > 0 ? piece.Maker : "its maker, whose name is not recorded",
                Where.Curing when piece.Bench is { } bench => $"{places.Bench(bench)} at {places.Site(piece.Site)}",
                Where.Scrapped => "given up",
                _ => places.Site(piece.Site),
            },
            Mixes = { reached.Mixes },
            Held = piece.IsHeld,
        };
    }

    private static Where WhereIs(ReachedPiece reached) => reached.Piece.State switch
    {
        Piece.Types.State.HandedOver => Where.HandedOver,
        Piece.Types.State.Scrapped => Where.Scrapped,
        Piece.Types.State.Demolded => reached.IsFinished ? Where.Finished : Where.InHouse,
        _ => Where.Curing,
    };

    private static RecallStock Line(Lots.ContainerContents contents) => new()
    {
        Container = contents.Container.Name,
        Site = contents.Container.Site,
        Part = contents.Container.Part,
        RemainingMassMg = contents.Container.RemainingMassMg,
        Held = contents.Container.Held || contents.HeldLot is not null,
    };

    private static RecallMix Line(MixRecord mix) => new() { Mix = mix.Name, Site = mix.Site, RemainingMassMg = mix.RemainingMassMg };
}
