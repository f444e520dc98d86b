using Pourwright.Studio.Messaging;
using Pourwright.Studio.Reminders.Channels;
using Pourwright.Studio.Storage;
using Role = Pourwright.V1.Contact.Types.Role;

namespace Pourwright.Studio.Reminders;

/// <summary>Hands what nobody acknowledged in time to the next role, once: instructor and assistant to owner.</summary>
/// <remarks>Quiet hours hold an escalation back as they do a reminder; those of safety pass.</remarks>
public sealed class EscalateReminders(StudioReads reads, StudioWriter writer, TimeProvider clock, ReminderOptions options) : ISweep
{
    public async Task RunAsync(CancellationToken ct)
    {
        while (IsAnyDue() && await writer.WriteAsync(EscalateBatch, ct) == options.BatchMax) { }
    }

    private bool IsAnyDue() => clock.GetUtcNow() is var now && reads.Read(reading =>
        ReminderStore.IsAnyDueForEscalation(reading, now.ToUnixMs()) && ReminderStore.DueForEscalation(reading, now, 1).Count > 0);

    private int EscalateBatch(StudioTransaction tx)
    {
        var due = ReminderStore.DueForEscalation(tx, tx.Now, options.BatchMax);
        var recipients = new Recipients(tx);
        foreach (var reminder in due)
        {
            ReminderStore.MarkEscalated(tx, reminder.Name, Role.Owner);
            DeliveryStore.Insert(tx, reminder.Name, recipients.Find(reminder.Site, Role.Owner), tx.Now.ToUnixMs());
        }
        return due.Count;
    }
}
