using Pourwright.Studio.Lots;
using Pourwright.V1;

namespace Pourwright.Studio.Trace;

/// <summary>One event of a container, in milligrams: into the container is positive.</summary>
/// <param name="Sequence">Order of the events.</param>
/// <param name="Container">The container.</param>
/// <param name="Kind">One of <see cref="ContainerEventKinds"/>; those not replayed here move no mass.</param>
/// <param name="MassMg">Milligrams, signed.</param>
/// <param name="Lot">received: from which lot.</param>
/// <param name="OtherContainer">filled: from which container; decanted: into which.</param>
/// <param name="Mix">mixed: into which mix.</param>
public sealed record ContainerMove(
    long Sequence, string Container, string Kind, long MassMg, string? Lot = null, string? OtherContainer = null, string? Mix = null);

/// <summary>What left a mix, in milligrams: into a piece, or thrown away where no piece is named.</summary>
public sealed record MixOutflow(string Mix, string? Piece, long MassMg);

/// <summary>Where every milligram of every lot went, by replaying the events of the containers and what left the mixes.</summary>
/// <remarks>
/// Containers and mixes are taken to be well stirred (see <see cref="Blend"/>). Shares are a reckoning, not a proof of
/// absence: a lot whose share rounds to nothing was still in the container, and the trace still names it.
/// The events of a container must be complete from its first one on, and so must those of the containers that filled it.
/// </remarks>
public sealed class LotShares
{
    private readonly Dictionary<string, Blend> _containers = [];
    private readonly Dictionary<string, Blend> _mixes = [];
    private readonly Dictionary<string, Blend> _pieces = [];
    private readonly Dictionary<(string From, string Into), Queue<IReadOnlyList<LotShare>>> _underway = [];
    private readonly Blend _received = new();
    private readonly Blend _discarded = new();
    private readonly Blend _unexplained = new();

    private LotShares() { }

    /// <summary>Milligrams of each lot in each container.</summary>
    public IReadOnlyDictionary<string, Blend> Containers => _containers;

    /// <summary>Milligrams of each lot left in each mix.</summary>
    public IReadOnlyDictionary<string, Blend> Mixes => _mixes;

    /// <summary>Milligrams of each lot in each piece.</summary>
    public IReadOnlyDictionary<string, Blend> Pieces => _pieces;

    /// <summary>Replays container events in the order of their sequence, then what left the mixes in the order given.</summary>
    public static LotShares Replay(IEnumerable<ContainerMove> moves, IEnumerable<MixOutflow> outflows)
    {
        var shares = new LotShares();
        foreach (var move in moves.OrderBy(move => move.Sequence)) shares.Apply(move);
        foreach (var outflow in outflows) shares.Apply(outflow);
        return shares;
    }

    /// <summary>The account of a lot, in milligrams: received = poured + mixed + discarded + remaining + unexplained, exactly.</summary>
    public MassAccount AccountOf(string lot) => new()
    {
        ReceivedMassMg = _received.MassMgOf(lot),
        PouredMassMg = _pieces.Values.Sum(blend => blend.MassMgOf(lot)),
        MixedMassMg = _mixes.Values.Sum(blend => blend.MassMgOf(lot)),
        DiscardedMassMg = _discarded.MassMgOf(lot),
        RemainingMassMg = _containers.Values.Sum(blend => blend.MassMgOf(lot)),
        UnexplainedMassMg = _unexplained.MassMgOf(lot),
    };

    private void Apply(ContainerMove move)
    {
        switch (move.Kind)
        {
            case ContainerEventKinds.Received:
                In(_containers, move.Container).Add(move.Lot ?? Blend.UnknownLot, move.MassMg);
                _received.Add(move.Lot ?? Blend.UnknownLot, move.MassMg);
                break;
            case ContainerEventKinds.Decanted:
                Underway(move.Container, move.OtherContainer!).Enqueue(In(_containers, move.Container).Take(-move.MassMg));
                break;
            case ContainerEventKinds.Filled:
                In(_containers, move.Container).Add(Underway(move.OtherContainer!, move.Container).Dequeue());
                break;
            case ContainerEventKinds.Mixed:
                In(_mixes, move.Mix!).Add(In(_containers, move.Container).Take(-move.MassMg));
                break;
            case ContainerEventKinds.Discarded:
                _discarded.Add(In(_containers, move.Container).Take(-move.MassMg));
                break;
            case ContainerEventKinds.Weighed:
                Weigh(In(_containers, move.Container), move.MassMg);
                break;
        }
    }

    private void Apply(MixOutflow outflow)
    {
        var shares = In(_mixes, outflow.Mix).Take(outflow.MassMg);
        (outflow.Piece is { } piece ? In(_pieces, piece) : _discarded).Add(shares);
    }

    private void Weigh(Blend container, long foundMg)
    {
        if (foundMg < 0)
        {
            _unexplained.Add(container.Take(-foundMg));
            return;
        }
        var shares = container.Split(foundMg);
        container.Add(shares);
        foreach (var (lot, shareMg) in shares) _unexplained.Add(lot, -shareMg);
    }

    private static Blend In(Dictionary<string, Blend> vessels, string name) =>
        vessels.TryGetValue(name, out var blend) ? blend : vessels[name] = new Blend();

    private Queue<IReadOnlyList<LotShare>> Underway(string from, string into) =>
        _underway.TryGetValue((from, into), out var queue) ? queue : _underway[(from, into)] = new();
}
