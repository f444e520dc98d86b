namespace Pourwright.Studio.Lots;

/// <summary>Stops the use of a lot, and allows it again.</summary>
/// <remarks>The lot's row says only how it stands; who held it when and why stays readable in the events of its containers.</remarks>
public static class HoldLot
{
    /// <summary>Holding a held lot changes its reason.</summary>
    public static (LotRecord Lot, IReadOnlyList<ContainerChange> Containers) Hold(
        LotRecord lot, IReadOnlyList<ContainerRecord> containers, string reason, long nowMs) =>
        (lot with { Held = true, HoldReason = reason }, Noted(lot, containers, ContainerEventKinds.Held, reason, nowMs));

    /// <summary>Unchanged where it is not held.</summary>
    public static (LotRecord Lot, IReadOnlyList<ContainerChange> Containers) Release(
        LotRecord lot, IReadOnlyList<ContainerRecord> containers, string reason, long nowMs) => lot.Held
            ? (lot with { Held = false, HoldReason = "" }, Noted(lot, containers, ContainerEventKinds.Released, reason, nowMs))
            : (lot, []);

    private static IReadOnlyList<ContainerChange> Noted(
        LotRecord lot, IReadOnlyList<ContainerRecord> containers, string kind, string reason, long nowMs) =>
        [.. containers.Select(container => new ContainerChange(container).With(new ContainerEventRecord
        {
            Container = container.Name,
            Kind = kind,
            Lot = lot.Name,
            Reason = reason,
            EventMs = nowMs,
        }))];
}
