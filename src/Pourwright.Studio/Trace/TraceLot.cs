using Google.Protobuf.WellKnownTypes;
using Pourwright.Studio.Lots;
using Pourwright.V1;

namespace Pourwright.Studio.Trace;

/// <summary>Puts together what was made from a lot and where every gram of it went, and names what is not recorded.</summary>
public static class TraceLot
{
    public static LotTrace Decide(LotFacts facts, DateTimeOffset now)
    {
        var shares = LotShares.Replay(facts.Moves, facts.Outflows);
        var trace = new LotTrace
        {
            Lot = facts.Lot,
            Containers = { facts.Containers },
            Mixes = { facts.Mixes },
            Pieces = { facts.Pieces.Select(Trace) },
            Account = shares.AccountOf(facts.Lot.Name),
            TraceTime = Timestamp.FromDateTimeOffset(now),
            Holdings =
            {
                Holdings(facts.Lot, facts.Containers.Select(container => container.Name), shares.Containers),
                Holdings(facts.Lot, facts.Mixes.Select(mix => mix.Name), shares.Mixes),
                Holdings(facts.Lot, facts.Pieces.Select(piece => piece.Piece.Name), shares.Pieces),
            },
        };
        trace.Unknowns.Add(NameUnknowns.OfLot(trace, NeverWeighed(facts)));
        return trace;
    }

    private static IEnumerable<Container> NeverWeighed(LotFacts facts) =>
        facts.Containers.Where(container => container.State == Container.Types.State.Open)
            .ExceptBy(
                facts.Moves.Where(move => move.Kind == ContainerEventKinds.Weighed).Select(move => move.Container),
                container => container.Name);

    private static LotPiece Trace(LotPieceFacts facts) => new()
    {
        Piece = facts.Piece,
        Mixes = { facts.Mixes },
        Holder = GatherReached.Holder(facts.Piece.State, facts.Piece.Maker, facts.SiteDisplayName),
        Defects = { facts.Defects },
    };

    private static IEnumerable<LotHolding> Holdings(Lot lot, IEnumerable<string> holders, IReadOnlyDictionary<string, Blend> blends) =>
        holders.Select(holder => new LotHolding { Holder = holder, MassMg = blends.GetValueOrDefault(holder)?.MassMgOf(lot.Name) ?? 0 });
}
