using Pourwright.Studio.Reminders;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Reminders;

/// <summary>A reminder that was sent, for channels to carry.</summary>
internal static class ReadyReminder
{
    public static readonly DateTimeOffset Sent = new(2026, 2, 6, 9, 0, 0, TimeSpan.Zero);

    public static readonly ReminderRecord Record = new()
    {
        Name = "studios/alder/reminders/reminder-7k3f-9qtm",
        Studio = "studios/alder",
        Site = "studios/alder/sites/north",
        Kind = Reminder.Types.Kind.DemoldReady,
        State = Reminder.Types.State.Sent,
        Subject = "studios/alder/pieces/walnut-7",
        Text = "Walnut 7: safe to demold. Test by touch first.",
        RecipientRole = Contact.Types.Role.Instructor,
        RemindMs = Sent.ToUnixMs(),
        SendMs = Sent.ToUnixMs(),
    };
}
