using Pourwright.Studio.Refusals;
using Pourwright.Studio.Sites;
using Pourwright.V1;

namespace Pourwright.Studio.Lots;

/// <summary>What happens to a container besides being filled and drawn from: weighing back, moving, throwing away, holding.</summary>
public static class KeepContainer
{
    /// <summary>The scale's word against the book's: the difference is kept as an event of its own, negative where mass is missing.</summary>
    /// <param name="discarded">Whether it was thrown away; what the book alone calls spent may turn out not to be.</param>
    /// <exception cref="Refusal">CONTAINER_SPENT where it was thrown away.</exception>
    public static ContainerChange WeighBack(ContainerRecord container, bool discarded, long measuredMassMg, long nowMs)
    {
        if (discarded) ContainerUse.RequireNotSpent(container);
        return new ContainerChange(container).With(
            Event(container, ContainerEventKinds.Weighed, nowMs) with { MassMg = measuredMassMg - container.RemainingMassMg });
    }

    /// <summary>The container at another site, whose midnight decides on its expiry date from now on; unchanged where it stands there.</summary>
    /// <exception cref="Refusal">CONTAINER_SPENT.</exception>
    public static ContainerChange Move(ContainerContents contents, SiteRecord site, long nowMs, long? openedShelfLifeMs)
    {
        var container = contents.Container;
        if (container.Site == site.Name) return new ContainerChange(container);
        ContainerUse.RequireNotSpent(container);
        var expireMs = ContainerExpiry.ExpireMs(contents.Lots, site.Zone, container.OpenMs, openedShelfLifeMs);
        return new ContainerChange(container with { Site = site.Name, ExpireMs = expireMs }).With(
            Event(container, ContainerEventKinds.Moved, nowMs) with { Site = site.Name });
    }

    /// <exception cref="Refusal">CONTAINER_SPENT where there is nothing left to throw away.</exception>
    public static ContainerChange Discard(ContainerRecord container, string reason, long nowMs)
    {
        ContainerUse.RequireNotSpent(container);
        return new ContainerChange(container).With(
            Event(container, ContainerEventKinds.Discarded, nowMs) with { MassMg = -container.RemainingMassMg, Reason = reason });
    }

    /// <summary>Holding a held container changes its reason.</summary>
    public static ContainerChange Hold(ContainerRecord container, string reason, long nowMs) =>
        new ContainerChange(container with { Held = true, HoldReason = reason }).With(
            Event(container, ContainerEventKinds.Held, nowMs) with { Reason = reason });

    /// <summary>Unchanged where it is not held.</summary>
    public static ContainerChange Release(ContainerRecord container, string reason, long nowMs) => container.Held
        ? new ContainerChange(container with { Held = false, HoldReason = "" }).With(
            Event(container, ContainerEventKinds.Released, nowMs) with { Reason = reason })
        : new ContainerChange(container);

    private static ContainerEventRecord Event(ContainerRecord container, string kind, long nowMs) =>
        new() { Container = container.Name, Kind = kind, EventMs = nowMs };
}
