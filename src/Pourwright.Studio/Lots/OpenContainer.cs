using Pourwright.Studio.Refusals;
using Pourwright.V1;

namespace Pourwright.Studio.Lots;

/// <summary>Opens a container: its opened shelf life begins.</summary>
public static class OpenContainer
{
    /// <summary>The container, open; unchanged where it is open already.</summary>
    /// <param name="openedShelfLifeMs">Of its resin system; null where its sheet gives none.</param>
    /// <exception cref="Refusal">CONTAINER_SPENT; TIME_OUT_OF_ORDER where it is said to have been opened before it came in.</exception>
    public static ContainerChange Decide(ContainerRecord container, long openMs, long receiveMs, long? openedShelfLifeMs, TimeZoneInfo zone)
    {
        ContainerUse.RequireNotSpent(container);
        if (openMs >= receiveMs || container.State == Container.Types.State.Open) return Opened(container, openMs, openedShelfLifeMs);
        var (opened, received) = (Amounts.LocalTime(openMs, zone), Amounts.LocalTime(receiveMs, zone));
        throw Refusal.Precondition(Reasons.TimeOutOfOrder,
            $"{container.Label} came in at {received} and cannot have been opened at {opened}. Correct open_time.",
            ("container", container.Name), ("receive_time", received), ("open_time", opened));
    }

    /// <summary>The container, open. Also for what is drawn from a sealed one: gloved hands open cans, they do not type it first.</summary>
    /// <param name="mix">The mix that it was first drawn from for; null where people opened it by itself.</param>
    public static ContainerChange Opened(ContainerRecord container, long atMs, long? openedShelfLifeMs, string? mix = null) =>
        container.State != Container.Types.State.Sealed
            ? new ContainerChange(container)
            : new ContainerChange(container with
            {
                State = Container.Types.State.Open,
                OpenMs = atMs,
                ExpireMs = ContainerExpiry.First(container.ExpireMs, atMs + openedShelfLifeMs),
            }).With(new ContainerEventRecord { Container = container.Name, Kind = ContainerEventKinds.Opened, Mix = mix, EventMs = atMs });
}
