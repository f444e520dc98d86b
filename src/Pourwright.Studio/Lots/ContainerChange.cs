using Pourwright.V1;

namespace Pourwright.Studio.Lots;

/// <summary>A container after something happened, and the events that say what.</summary>
public sealed record ContainerChange(ContainerRecord Container, IReadOnlyList<ContainerEventRecord> Events)
{
    /// <summary>The container as it stands.</summary>
    public ContainerChange(ContainerRecord container) : this(container, [])
    {
    }

    /// <summary>One event more. The only place where a balance changes: it is the sum of the events, and at 0 the container is spent.</summary>
    public ContainerChange With(ContainerEventRecord happened)
    {
        var remainingMassMg = Container.RemainingMassMg + happened.MassMg;
        return new(
            Container with { RemainingMassMg = remainingMassMg, State = StateAt(remainingMassMg) },
            [.. Events, happened]);
    }

    private Container.Types.State StateAt(long remainingMassMg) =>
        remainingMassMg == 0 ? V1.Container.Types.State.Spent
        : Container.State != V1.Container.Types.State.Spent ? Container.State
        : Container.OpenMs is null ? V1.Container.Types.State.Sealed
        : V1.Container.Types.State.Open;
}
