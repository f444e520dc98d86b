using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Reminders;

/// <summary>A container with something left that is about to expire and was not spoken of yet.</summary>
public sealed record ExpiringContainer
{
    public required string Name { get; init; }
    public required string Studio { get; init; }
    public required string Site { get; init; }
    public required string TimeZone { get; init; }
    public required Part Part { get; init; }
    public required long RemainingMassMg { get; init; }
    public required long ExpireMs { get; init; }
}

/// <summary>Says, once a container, that it is about to expire.</summary>
public sealed class LotsNearExpiry(StudioReads reads, StudioWriter writer, TimeProvider clock, ReminderOptions options)
    : ConditionSweep(reads, writer, clock)
{
    protected override ReminderChanges Look(StudioSession session, long nowMs)
    {
        var changes = new ReminderChanges();
        var horizonMs = nowMs + (long)options.LotExpiryAhead.TotalMilliseconds;
        foreach (var container in ConditionStore.ExpiringContainers(session, horizonMs, options.BatchMax))
            changes.Add(Tell(container, nowMs));
        return changes;
    }

    private static ReminderDraft Tell(ExpiringContainer container, long nowMs) => new()
    {
        Studio = container.Studio,
        Site = container.Site,
        Kind = Reminder.Types.Kind.LotExpiring,
        Subject = container.Name,
        Text = ReminderTexts.ContainerExpiring(
            container.Name, container.Part, container.RemainingMassMg, container.ExpireMs, nowMs,
            TimeZoneInfo.FindSystemTimeZoneById(container.TimeZone)),
        RecipientRole = Contact.Types.Role.Owner,
        RemindMs = nowMs,
    };
}
