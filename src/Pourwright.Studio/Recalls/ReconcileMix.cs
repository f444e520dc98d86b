using Pourwright.Evidence.Reconciling;
using Pourwright.Studio.Lots;
using Pourwright.Studio.Mixes;
using Pourwright.Studio.Names;
using Pourwright.V1;

namespace Pourwright.Studio.Recalls;

/// <summary>What left a mix, in mg, and how often something was weighed for it.</summary>
public sealed record MixMasses(MixRecord Mix, long PouredMg, long DiscardedMg, int Weighings, ScaleRecord Scale);

/// <summary>Whether a mix is found again: weighed in = poured + left in the bucket + thrown away + unexplained.</summary>
/// <remarks>
/// While it can still be poured, what is left in the bucket is on nobody's scale. After that it is hard: what was neither poured nor
/// recorded as thrown away is unexplained.
/// </remarks>
public static class ReconcileMix
{
    /// <summary>How long a mix may be poured where its sheet gives no pot life, in ms: a day. Common practice, no source.</summary>
    private const long UsableMs = 24 * 3_600_000L;

    public static Reconciliation Decide(MixMasses masses, long nowMs)
    {
        var mix = masses.Mix;
        var isOpen = mix.RemainingMassMg > 0 && nowMs < (mix.PotLifeEndMs ?? mix.MixMs + UsableMs);
        // Of a mix that did not occur nothing was weighed in, and nothing thrown away.
        var (receivedMg, discardedMg) = mix.DidNotOccur ? (0, 0) : (mix.AMassMg + mix.BMassMg + mix.PigmentMassMg, masses.DiscardedMg);
        var balance = new MassReconciliation(
            mix.Name, receivedMg, masses.PouredMg, isOpen ? null : 0, discardedMg,
            new WeighingTolerance(masses.Weighings, masses.Scale.ResolutionMg, isOpen ? 0 : 1, masses.Scale.PotResidueMg));
        return DescribeBalance.ToProto(balance, isOpen
            ? [$"{Amounts.Grams(mix.RemainingMassMg)} of mix {ResourceNames.IdOf(mix.Name)} are still in the bucket by the book. Pour them, or record what is thrown away: pourwright mix discard."]
            : []);
    }
}

/// <summary>Whether a container is found again, whatever lots are in it: filled in = drawn + left + thrown away + unexplained.</summary>
public static class ReconcileContainer
{
    public static Reconciliation Decide(ContainerRecord container, IReadOnlyList<StandingEvent> events, ScaleRecord scale)
    {
        var weighings = events.Count(e => e.Kind is ContainerEventKinds.Received or ContainerEventKinds.Filled
            or ContainerEventKinds.Decanted or ContainerEventKinds.Mixed or ContainerEventKinds.Weighed);
        var isUncounted = container is { RemainingMassMg: > 0, State: Container.Types.State.Open } && events.All(e => e.Kind != ContainerEventKinds.Weighed);
        var balance = new MassReconciliation(
            container.Name, Sum(ContainerEventKinds.Received, ContainerEventKinds.Filled), -Sum(ContainerEventKinds.Decanted, ContainerEventKinds.Mixed),
            isUncounted ? null : container.RemainingMassMg, -Sum(ContainerEventKinds.Discarded),
            new WeighingTolerance(weighings, scale.ResolutionMg, container.RemainingMassMg == 0 ? 1 : 0, scale.PotResidueMg));
        return DescribeBalance.ToProto(balance, isUncounted ? [DescribeBalance.NeverWeighed(container)] : []);

        long Sum(params string[] kinds) => events.Where(e => kinds.Contains(e.Kind)).Sum(e => e.MassMg);
    }
}
