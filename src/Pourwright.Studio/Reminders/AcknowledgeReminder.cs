using Pourwright.Studio.Refusals;
using Pourwright.V1;

namespace Pourwright.Studio.Reminders;

/// <summary>Who may take a reminder in hand, and when.</summary>
public static class AcknowledgeReminder
{
    /// <summary>Is there something to write? Whoever acknowledged first stays; a repeat changes nothing.</summary>
    /// <exception cref="Refusal">REMINDER_STATE before it was sent, and after it was withdrawn.</exception>
    public static bool IsNeeded(ReminderRecord reminder) => reminder.State switch
    {
        Reminder.Types.State.Sent => true,
        Reminder.Types.State.Acknowledged => false,
        _ => throw Refusal.Precondition(
            Reasons.ReminderState,
            $"{reminder.Name} is {reminder.State}; only one that is out can be acknowledged. Get it again.",
            ("reminder", reminder.Name), ("state", reminder.State.ToString())),
    };
}
