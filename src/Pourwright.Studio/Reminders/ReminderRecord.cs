using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Reminders;

/// <summary>A row of `reminders`.</summary>
public sealed record ReminderRecord
{
    public long Sequence { get; init; }
    public required string Name { get; init; }
    public required string Studio { get; init; }
    public string? Site { get; init; }
    public required Reminder.Types.Kind Kind { get; init; }
    public required Reminder.Types.State State { get; init; }
    public required string Subject { get; init; }
    public required string Text { get; init; }
    public required Contact.Types.Role RecipientRole { get; init; }

    /// <summary>A student or instructor by name, instead of a role; else empty.</summary>
    public string Recipient { get; init; } = "";
    public string RecipientEmail { get; init; } = "";

    /// <summary>Quiet hours do not hold it back, and it escalates sooner.</summary>
    public bool Safety { get; init; }
    public required long RemindMs { get; init; }
    public long? SendMs { get; init; }
    public long? SendSequence { get; init; }
    public long? AcknowledgeMs { get; init; }
    public string Acknowledger { get; init; } = "";
    public long? EscalateDueMs { get; init; }
    public long? EscalateMs { get; init; }
    public string WithdrawReason { get; init; } = "";

    /// <summary>Waiting, out, or in somebody's hand: not withdrawn.</summary>
    public bool IsLive => State != Reminder.Types.State.Withdrawn;

    /// <summary>Somebody has been told.</summary>
    public bool IsOut => State is Reminder.Types.State.Sent or Reminder.Types.State.Acknowledged or Reminder.Types.State.Told;

    public Reminder ToProto() => new()
    {
        Name = Name,
        Kind = Kind,
        State = State,
        Site = Site ?? "",
        Subject = Subject,
        Text = Text,
        RecipientRole = RecipientRole,
        Recipient = Recipient,
        RemindTime = Instants.ToTimestamp(RemindMs),
        SendTime = Instants.ToTimestamp(SendMs),
        AcknowledgeTime = Instants.ToTimestamp(AcknowledgeMs),
        Acknowledger = Acknowledger,
        EscalateTime = Instants.ToTimestamp(EscalateMs),
        WithdrawReason = WithdrawReason,
    };
}
