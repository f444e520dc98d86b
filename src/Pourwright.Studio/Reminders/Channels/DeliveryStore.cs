using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Reminders.Channels;

/// <summary>A delivery claimed for one attempt.</summary>
public sealed record ClaimedDelivery
{
    public required string Reminder { get; init; }
    public required string Channel { get; init; }
    public required string Address { get; init; }

    /// <summary>This one included.</summary>
    public required int Attempts { get; init; }

    /// <summary>Of the write that made the reminder.</summary>
    public string? TraceParent { get; init; }
}

/// <summary>SQL of deliveries.</summary>
public static class DeliveryStore
{
    /// <summary>One row for each route of the contact, due now. An address that has the reminder already gets no second row.</summary>
    public static void Insert(StudioTransaction tx, string reminder, ContactRecord? contact, long nowMs)
    {
        InsertEmail(tx, reminder, contact?.Email ?? "", nowMs);
        if (contact is { WebhookUri.Length: > 0 }) Insert(tx, reminder, WebhookChannel.Name, contact.WebhookUri, nowMs);
    }

    /// <summary>One row, due now; none where there is no address.</summary>
    public static void InsertEmail(StudioTransaction tx, string reminder, string address, long nowMs)
    {
        if (address.Length > 0) Insert(tx, reminder, EmailChannel.Name, address, nowMs);
    }

    /// <summary>A row for every address that another reminder was for, due now.</summary>
    public static void InsertWhereItWent(StudioTransaction tx, string reminder, string other, long nowMs) => tx.Execute(
        """
        INSERT INTO deliveries (reminder, channel, address, next_attempt_ms)
        SELECT @reminder, channel, address, @nowMs FROM deliveries WHERE reminder = @other
            ON CONFLICT (reminder, channel, address) DO NOTHING
        """, new { reminder, other, nowMs });

    /// <summary>Mail that is on its way to one person goes to another address of theirs.</summary>
    public static void Readdress(StudioTransaction tx, string recipient, string email) => tx.Execute(
        """
        UPDATE deliveries SET address = @email
         WHERE channel = @channel AND next_attempt_ms IS NOT NULL AND address <> @email
           AND reminder IN (SELECT name FROM reminders WHERE recipient = @recipient AND recipient <> '')
        """, new { recipient, email, channel = EmailChannel.Name });

    public static bool IsAnyDue(StudioSession session, long nowMs) => session.Scalar<long>(
        "SELECT EXISTS (SELECT 1 FROM deliveries WHERE next_attempt_ms <= @nowMs)", new { nowMs }) == 1;

    /// <summary>Counts an attempt on what is due, safety first, and puts the next one off: a crash in between costs that delay only.</summary>
    /// <remarks>
    /// Of two messages about one thing the later one waits until the earlier one has arrived at its address, is given up or is off, or people
    /// would go by the older dates. Safety waits for nothing.
    /// </remarks>
    public static IReadOnlyList<ClaimedDelivery> Claim(StudioTransaction tx, DeliveryOptions options)
    {
        var nowMs = tx.Now.ToUnixMs();
        DropOvertaken(tx, nowMs);
        var due = tx.Query<ClaimedDelivery>(
            """
            SELECT d.reminder, d.channel, d.address, d.attempts + 1 AS attempts, r.trace_parent
              FROM deliveries d
              JOIN reminders r ON r.name = d.reminder
             WHERE d.next_attempt_ms <= @nowMs AND (r.safety = 1 OR NOT EXISTS
                   (SELECT 1 FROM deliveries e JOIN reminders earlier ON earlier.name = e.reminder
                     WHERE e.channel = d.channel AND e.address = d.address AND e.next_attempt_ms IS NOT NULL
                       AND earlier.subject = r.subject AND earlier.send_sequence < r.send_sequence AND earlier.state NOT IN (3, 4)))
             ORDER BY r.safety DESC, d.next_attempt_ms, r.send_sequence LIMIT @limit
            """, new { nowMs, limit = options.BatchMax });
        tx.Execute(
            """
            UPDATE deliveries SET attempts = @Attempts, next_attempt_ms = @next
             WHERE reminder = @Reminder AND channel = @Channel AND address = @Address
            """,
            due.Select(d => new
            {
                d.Reminder,
                d.Channel,
                d.Address,
                d.Attempts,
                next = nowMs + (long)options.DelayAfter(d.Attempts).TotalMilliseconds,
            }));
        return due;
    }

    /// <summary>Keeps how an attempt ended. Where it is tried again, the claim has put the next attempt.</summary>
    public static void Record(StudioTransaction tx, ClaimedDelivery delivery, DeliveryOutcome outcome, bool isAgain) => tx.Execute(
        """
        UPDATE deliveries
           SET last_error = @error,
               delivered_ms = CASE WHEN @isDelivered = 1 THEN @nowMs END,
               next_attempt_ms = CASE WHEN @isAgain = 1 THEN next_attempt_ms END
         WHERE reminder = @Reminder AND channel = @Channel AND address = @Address
        """,
        new
        {
            delivery.Reminder,
            delivery.Channel,
            delivery.Address,
            error = outcome.Error,
            isDelivered = outcome.End == DeliveryEnd.Delivered,
            isAgain,
            nowMs = tx.Now.ToUnixMs(),
        });

    /// <summary>What was withdrawn or taken in hand meanwhile is not delivered: "ready" must never come after its withdrawal.</summary>
    private static void DropOvertaken(StudioTransaction tx, long nowMs) => tx.Execute(
        """
        UPDATE deliveries SET next_attempt_ms = NULL, last_error = 'withdrawn or acknowledged before it arrived'
         WHERE next_attempt_ms <= @nowMs AND reminder IN (SELECT name FROM reminders WHERE state IN (3, 4))
        """, new { nowMs });

    private static void Insert(StudioTransaction tx, string reminder, string channel, string address, long nowMs) => tx.Execute(
        """
        INSERT INTO deliveries (reminder, channel, address, next_attempt_ms) VALUES (@reminder, @channel, @address, @nowMs)
        ON CONFLICT (reminder, channel, address) DO NOTHING
        """, new { reminder, channel, address, nowMs });
}
