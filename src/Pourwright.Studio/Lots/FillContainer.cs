using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Sites;
using Pourwright.V1;

namespace Pourwright.Studio.Lots;

/// <summary>Pours from one container into another, new or not: the balances change, the lots stay known.</summary>
public static class FillContainer
{
    /// <summary>The source, and a new container at the same site with its content's age.</summary>
    /// <exception cref="Refusal">CONTAINER_HELD, LOT_HELD, CONTAINER_SPENT, CONTAINER_SHORT.</exception>
    public static IReadOnlyList<ContainerChange> Decant(
        ContainerContents source, string newName, long massMg, long nowMs, long? openedShelfLifeMs)
    {
        ContainerUse.RequireNotHeld(source);
        ContainerUse.RequireNotSpent(source.Container);
        ContainerUse.RequireHolds(source.Container, massMg);
        var opened = OpenContainer.Opened(source.Container, nowMs, openedShelfLifeMs);
        var empty = opened.Container with
        {
            Name = newName,
            State = Container.Types.State.Open,
            ReceivedMassMg = massMg,
            RemainingMassMg = 0,
        };
        return Poured(opened, new ContainerChange(empty), massMg, nowMs);
    }

    /// <summary>The source and the target, which holds the lots of both and expires with the first of them.</summary>
    /// <exception cref="Refusal">PART_MISMATCH, RESIN_SYSTEM_MISMATCH, SITE_MISMATCH, CONTAINER_HELD, LOT_HELD, CONTAINER_SPENT, CONTAINER_EXPIRED, CONTAINER_SHORT.</exception>
    public static IReadOnlyList<ContainerChange> TopUp(
        ContainerContents target, ContainerContents source, SiteRecord site, long massMg, long nowMs, long? openedShelfLifeMs)
    {
        RequireSameContent(target.Container, source.Container);
        ContainerUse.RequireSite(source.Container, target.Container.Site);
        foreach (var contents in (ContainerContents[])[target, source])
        {
            ContainerUse.RequireNotHeld(contents);
            ContainerUse.RequireNotSpent(contents.Container);
            // Old resin in a fresh tank would make the whole tank old.
            ContainerUse.RequireInDate(contents.Container, nowMs, site.Zone);
        }
        ContainerUse.RequireHolds(source.Container, massMg);
        return Poured(
            OpenContainer.Opened(source.Container, nowMs, openedShelfLifeMs),
            OpenContainer.Opened(target.Container, nowMs, openedShelfLifeMs), massMg, nowMs);
    }

    // Out of the source first: what is in the target after an event came from what was in the source before it.
    private static IReadOnlyList<ContainerChange> Poured(ContainerChange source, ContainerChange target, long massMg, long nowMs)
    {
        var (from, into) = (source.Container, target.Container);
        var aged = new ContainerChange(
            into with
            {
                OpenMs = ContainerExpiry.First(into.OpenMs, from.OpenMs),
                ExpireMs = ContainerExpiry.First(into.ExpireMs, from.ExpireMs),
            }, target.Events);
        return
        [
            source.With(Event(from, ContainerEventKinds.Decanted, -massMg, into)),
            aged.With(Event(into, ContainerEventKinds.Filled, massMg, from) with { Site = into.Site }),
        ];

        ContainerEventRecord Event(ContainerRecord container, string kind, long signedMassMg, ContainerRecord other) => new()
        {
            Container = container.Name,
            Kind = kind,
            MassMg = signedMassMg,
            OtherContainer = other.Name,
            EventMs = nowMs,
        };
    }

    private static void RequireSameContent(ContainerRecord target, ContainerRecord source)
    {
        if (target.Part != source.Part)
            throw Refusal.Precondition(Reasons.PartMismatch,
                $"{target.Label} holds part {target.Part} and {source.Label} holds part {source.Part}. Parts meet in a mix only; check the labels.",
                ("container", target.Name), ("part", $"{target.Part}"), ("source", source.Name), ("source_part", $"{source.Part}"));
        if (target.ResinSystem != source.ResinSystem)
            throw Refusal.Precondition(Reasons.ResinSystemMismatch,
                $"{target.Label} belongs to {System(target)} and {source.Label} to {System(source)}. Parts of different systems are never put together; check the labels.",
                ("container", target.Name), ("resin_system", target.ResinSystem ?? ""),
                ("source", source.Name), ("source_resin_system", source.ResinSystem ?? ""));

        static string System(ContainerRecord container) => ResourceNames.IdOf(container.ResinSystem ?? "");
    }
}
