using Pourwright.Studio.Messaging;
using Pourwright.Studio.Reminders.Channels;
using Pourwright.Studio.Storage;
using Pourwright.Studio.Telemetry;
using Pourwright.V1;
using Kind = Pourwright.V1.Reminder.Types.Kind;
using Role = Pourwright.V1.Contact.Types.Role;

namespace Pourwright.Studio.Reminders;

/// <summary>A waiting reminder whose time has come, and how its subject stands; what its subject is not is null.</summary>
public sealed record DueReminder
{
    public required string Name { get; init; }
    public string? Site { get; init; }
    public required Kind Kind { get; init; }
    public string Subject { get; init; } = "";
    public required Role RecipientRole { get; init; }

    /// <summary>One person instead of a role; else empty.</summary>
    public string Recipient { get; init; } = "";
    public string RecipientEmail { get; init; } = "";
    public bool Safety { get; init; }
    public string? TraceParent { get; init; }
    public Piece.Types.State? PieceState { get; init; }
    public long? PlannedSessionMs { get; init; }
    public Container.Types.State? ContainerState { get; init; }
}

/// <summary>A reminder that goes out. Times in Unix ms; an escalation of null says that there is no role after this one.</summary>
public sealed record SendDecision(string Name, long SendMs, long SendSequence, long? EscalateDueMs);

/// <summary>Sends what is due: marks it sent, gives it its place in the order of sending, writes its deliveries, all in one write.</summary>
/// <remarks>
/// So a restart neither loses a reminder nor sends it twice. Late ones (the node was down, quiet hours held them) are sent, however
/// late, unless their fact is over: <see cref="OverReason"/>. They say absolute times, so that a late one does not mislead.
/// </remarks>
public sealed class DueReminders(StudioReads reads, StudioWriter writer, TimeProvider clock, ReminderOptions options) : ISweep
{
    public async Task RunAsync(CancellationToken ct)
    {
        while (IsAnyDue() && await writer.WriteAsync(SendBatch, ct) == options.BatchMax) { }
    }

    /// <summary>Lateness policy "send late, unless over": why a late reminder is closed instead; null where it still matters.</summary>
    public static string? OverReason(DueReminder due, long nowMs) => due switch
    {
        { PieceState: Piece.Types.State.HandedOver } => "the piece was handed over before",
        { PieceState: Piece.Types.State.Scrapped } => "the piece was given up before",
        { PieceState: Piece.Types.State.Demolded, Kind: Kind.DemoldReady } => "the piece was demolded before",
        { Kind: Kind.AtRisk, PlannedSessionMs: { } sessionMs } when sessionMs <= nowMs => "its session has begun",
        { ContainerState: Container.Types.State.Spent } => "the container is empty",
        _ => null,
    };

    /// <summary>When the next role is told of what goes out now, Unix ms; null for the owner, after whom nobody comes, and for one person.</summary>
    public static long? EscalateDueMs(DueReminder due, ReminderOptions options, long nowMs)
    {
        if (due.RecipientRole == Role.Owner || due.Recipient.Length > 0) return null;
        var patience = due.Safety ? options.EscalateSafetyAfter
            : due.Kind is Kind.SensorSilent or Kind.ClimateWarning ? options.EscalateRoomAfter
            : options.EscalateScheduleAfter;
        return nowMs + (long)patience.TotalMilliseconds;
    }

    private bool IsAnyDue() => clock.GetUtcNow() is var now && reads.Read(reading =>
        ReminderStore.IsAnyDue(reading, now.ToUnixMs()) && ReminderStore.Due(reading, now, 1).Count > 0);

    private int SendBatch(StudioTransaction tx)
    {
        var nowMs = tx.Now.ToUnixMs();
        var due = ReminderStore.Due(tx, tx.Now, options.BatchMax);
        List<DueReminder> going = [];
        foreach (var reminder in due)
            if (OverReason(reminder, nowMs) is { } reason) ReminderStore.Withdraw(tx, reminder.Name, reason);
            else going.Add(reminder);
        Send(tx, going, nowMs);
        return due.Count;
    }

    private void Send(StudioTransaction tx, IReadOnlyList<DueReminder> going, long nowMs)
    {
        var last = ReminderStore.LastSendSequence(tx);
        ReminderStore.MarkSent(tx, going.Select((reminder, i) =>
            new SendDecision(reminder.Name, nowMs, last + 1 + i, EscalateDueMs(reminder, options, nowMs))));
        var recipients = new Recipients(tx);
        foreach (var reminder in going)
        {
            StudioTelemetry.TellSent(reminder.Name, reminder.Kind.ToString(), reminder.TraceParent);
            if (reminder.Recipient.Length > 0) DeliveryStore.InsertEmail(tx, reminder.Name, reminder.RecipientEmail, nowMs);
            else DeliveryStore.Insert(tx, reminder.Name, recipients.Find(reminder.Site, reminder.RecipientRole), nowMs);
            // Who had it first may still go by it after it came to another role.
            if (reminder is { Kind: Kind.Withdrawn, Recipient: "" }) DeliveryStore.InsertWhereItWent(tx, reminder.Name, reminder.Subject, nowMs);
        }
    }
}
