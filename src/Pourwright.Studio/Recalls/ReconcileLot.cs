using Pourwright.Evidence.Reconciling;
using Pourwright.Studio.Lots;
using Pourwright.Studio.Mixes;
using Pourwright.Studio.Names;
using Pourwright.Studio.Trace;
using Pourwright.V1;

namespace Pourwright.Studio.Recalls;

/// <summary>What a lot's masses are reckoned from.</summary>
public sealed record LotMasses
{
    public required string Lot { get; init; }

    /// <summary>Every container that holds or held some of it.</summary>
    public required IReadOnlyList<ContainerRecord> Containers { get; init; }

    /// <summary>As <see cref="LotShares"/> needs them.</summary>
    public required IReadOnlyList<ContainerMove> Moves { get; init; }

    /// <summary>Those that drew on these containers.</summary>
    public required IReadOnlyList<MixRecord> Mixes { get; init; }
    public required ScaleBook Scales { get; init; }
}

/// <summary>Whether a lot is found again: received = drawn into mixes + left in containers + thrown away + unexplained.</summary>
/// <remarks>
/// In a tank a lot has its share of everything, of what is missing as well. Every weighing of a container counts from the lot's arrival
/// on; a decant and the top-up that it makes are one. What is left counts as counted in a can that was never opened, and in one that was
/// weighed since the lot came into it.
/// </remarks>
public static class ReconcileLot
{
    private static readonly string[] Weighed =
        [ContainerEventKinds.Received, ContainerEventKinds.Decanted, ContainerEventKinds.Mixed, ContainerEventKinds.Weighed];

    public static Reconciliation Decide(LotMasses masses)
    {
        var account = LotShares.Replay(masses.Moves, []).AccountOf(masses.Lot);
        var since = Arrivals(masses.Moves, masses.Lot);
        var uncounted = masses.Containers.Where(container => IsUncounted(container, since, masses.Moves)).ToList();
        var balance = new MassReconciliation(
            masses.Lot, account.ReceivedMassMg, account.MixedMassMg, uncounted.Count == 0 ? account.RemainingMassMg : null,
            account.DiscardedMassMg, Tolerance(masses, since));
        return DescribeBalance.ToProto(balance, uncounted.Select(DescribeBalance.NeverWeighed));
    }

    /// <summary>The event that first brought the lot into each container.</summary>
    private static Dictionary<string, long> Arrivals(IEnumerable<ContainerMove> moves, string lot)
    {
        Dictionary<string, long> since = [];
        foreach (var move in moves.OrderBy(move => move.Sequence))
            if ((move.Kind == ContainerEventKinds.Received && move.Lot == lot)
                || (move.Kind == ContainerEventKinds.Filled && since.ContainsKey(move.OtherContainer!)))
                since.TryAdd(move.Container, move.Sequence);
        return since;
    }

    private static bool IsUncounted(ContainerRecord container, Dictionary<string, long> since, IEnumerable<ContainerMove> moves) =>
        container is { RemainingMassMg: > 0, State: Container.Types.State.Open }
        && !moves.Any(move => move.Container == container.Name && move.Kind == ContainerEventKinds.Weighed && move.Sequence > since.GetValueOrDefault(container.Name));

    private static WeighingTolerance Tolerance(LotMasses masses, Dictionary<string, long> since)
    {
        var sites = masses.Containers.ToDictionary(container => container.Name, container => container.Site);
        var mixes = masses.Mixes.ToDictionary(mix => mix.Name);
        var weighings = masses.Moves.Where(move =>
            Weighed.Contains(move.Kind) && since.TryGetValue(move.Container, out var from) && move.Sequence >= from && sites.ContainsKey(move.Container)).ToList();
        var scales = weighings.Select(move => move.Mix is { } mix && mixes.TryGetValue(mix, out var mixed)
            ? masses.Scales.Of(mixed.Site, mixed.Scale) : masses.Scales.Of(sites[move.Container], "")).ToList();
        return new(weighings.Count, scales.Max(scale => (long?)scale.ResolutionMg) ?? 0,
            masses.Containers.Count(container => container.RemainingMassMg == 0), scales.Max(scale => (long?)scale.PotResidueMg) ?? 0);
    }
}

/// <summary>A balance as it is told.</summary>
public static class DescribeBalance
{
    public static Reconciliation ToProto(MassReconciliation balance, IEnumerable<string> unknowns)
    {
        var told = new Reconciliation
        {
            Name = balance.Name,
            ReceivedMassMg = balance.ReceivedMg,
            UsedMassMg = balance.UsedMg,
            WasteMassMg = balance.WasteMg,
            ToleranceMassMg = balance.Tolerance.Mg,
            WeighingCount = balance.Tolerance.Weighings,
            ResolutionMassMg = balance.Tolerance.ResolutionMg,
            PotCount = balance.Tolerance.Pots,
            PotResidueMassMg = balance.Tolerance.PotResidueMg,
            Closure = balance.Closure switch
            {
                Closure.Closes => Reconciliation.Types.Closure.Closes,
                Closure.Missing => Reconciliation.Types.Closure.Missing,
                Closure.TooMuch => Reconciliation.Types.Closure.TooMuch,
                _ => Reconciliation.Types.Closure.NotCounted,
            },
            Unknowns = { unknowns },
        };
        if (balance.LeftMg is { } left) told.LeftMassMg = left;
        if (balance.UnexplainedMg is { } unexplained) told.UnexplainedMassMg = unexplained;
        return told;
    }

    public static string NeverWeighed(ContainerRecord container) =>
        $"Container {ResourceNames.IdOf(container.Name)} holds {Amounts.Grams(container.RemainingMassMg)} by the book and was not weighed since this came into it. Weigh it: pourwright container weigh.";
}
