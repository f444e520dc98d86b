using Pourwright.Studio.Names;
using Pourwright.Studio.Reminders.Channels;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Reminders;

/// <summary>SQL of reminders.</summary>
public static class ReminderStore
{
    private const string Columns =
        """
        SELECT sequence, name, studio, site, kind, state, subject, text, recipient_role, recipient, recipient_email, safety, remind_ms, send_ms,
               send_sequence, acknowledge_ms, acknowledger, escalate_due_ms, escalate_ms, withdraw_reason
          FROM reminders
        """;

    public static ReminderRecord GetReminder(StudioSession session, string name) =>
        session.Find<ReminderRecord>($"{Columns} WHERE name = @name", new { name }) ?? throw ResourceKind.Reminder.NotFound(name);

    /// <summary>Oldest first. A state of 0 and an empty site mean: any.</summary>
    public static IReadOnlyList<ReminderRecord> ListReminders(
        StudioSession session, string studio, Reminder.Types.State state, string site, PageRequest page) =>
        session.Query<ReminderRecord>(
            $"""
            {Columns} WHERE studio = @studio AND sequence > @after
               AND (@state = 0 OR state = @state) AND (@site = '' OR site = @site)
             ORDER BY sequence LIMIT @limit
            """,
            new { studio, state = (int)state, site, after = page.AfterNumber, limit = page.Limit });

    /// <summary>What is about a subject, and the notices about that; oldest first.</summary>
    public static IReadOnlyList<ReminderRecord> About(StudioSession session, string subject) => session.Query<ReminderRecord>(
        $"""
        {Columns} WHERE subject = @subject OR subject IN (SELECT name FROM reminders WHERE subject = @subject)
         ORDER BY sequence
        """, new { subject });

    /// <summary>Reminders of silent sensors or of damp benches, not withdrawn. Both kinds stand in the text for the index's sake.</summary>
    public static IReadOnlyList<ReminderRecord> LiveEpisodes(StudioSession session, Reminder.Types.Kind kind) =>
        session.Query<ReminderRecord>(
            $"{Columns} WHERE kind = @kind AND kind IN (6, 7) AND state <> 4 ORDER BY sequence", new { kind = (int)kind });

    /// <summary>What is said to be overdue, not withdrawn. The kind stands in the text for the index's sake.</summary>
    public static IReadOnlyList<ReminderRecord> LiveDigests(StudioSession session) =>
        session.Query<ReminderRecord>($"{Columns} WHERE kind = 12 AND state <> 4 ORDER BY sequence");

    /// <summary>What went out after a place in the order of sending: all after <paramref name="head"/>, before it the open ones.</summary>
    public static IReadOnlyList<ReminderRecord> SentAfter(
        StudioSession session, string studio, string site, long sendSequence, long head, int limit) => session.Query<ReminderRecord>(
        $"""
        {Columns} WHERE send_sequence > @sendSequence AND studio = @studio AND (@site = '' OR site = @site)
           AND (state = 2 OR send_sequence > @head)
         ORDER BY send_sequence LIMIT @limit
        """, new { studio, site, sendSequence, head, limit });

    /// <summary>The last place in the order of sending; 0 before the first.</summary>
    public static long LastSendSequence(StudioSession session) =>
        session.Scalar<long?>("SELECT max(send_sequence) FROM reminders") ?? 0;

    /// <summary>Is the time of any waiting reminder come, held back or not? The quick look.</summary>
    public static bool IsAnyDue(StudioSession session, long nowMs) => session.Scalar<long>(
        "SELECT EXISTS (SELECT 1 FROM reminders WHERE state = 1 AND remind_ms <= @nowMs)", new { nowMs }) == 1;

    /// <summary>Waiting reminders whose time has come, without those that quiet hours hold back, and how their subjects stand.</summary>
    public static IReadOnlyList<DueReminder> Due(StudioSession session, DateTimeOffset now, int limit) => session.Query<DueReminder>(
        """
        SELECT r.name, r.site, r.kind, r.subject, r.recipient_role, r.recipient, r.recipient_email, r.safety, r.trace_parent, p.state AS piece_state,
               p.planned_session_ms, c.state AS container_state
          FROM reminders r
          LEFT JOIN pieces p ON p.name = r.subject
          LEFT JOIN containers c ON c.name = r.subject
         WHERE r.state = 1 AND r.remind_ms <= @nowMs AND (r.safety = 1 OR r.site IS NULL OR r.site NOT IN @quiet)
         ORDER BY r.remind_ms, r.sequence LIMIT @limit
        """, new { nowMs = now.ToUnixMs(), quiet = QuietSites(session, now), limit });

    public static void MarkSent(StudioTransaction tx, IEnumerable<SendDecision> sent) => tx.Execute(
        """
        UPDATE reminders
           SET state = CASE WHEN recipient = '' THEN 2 ELSE 5 END, send_ms = @SendMs, send_sequence = @SendSequence,
               escalate_due_ms = @EscalateDueMs
         WHERE name = @Name AND state = 1
        """, sent);

    /// <summary>Is any reminder due for the next role, held back or not? The quick look.</summary>
    public static bool IsAnyDueForEscalation(StudioSession session, long nowMs) => session.Scalar<long>(
        "SELECT EXISTS (SELECT 1 FROM reminders WHERE state = 2 AND escalate_due_ms <= @nowMs)", new { nowMs }) == 1;

    /// <summary>Reminders that are out, unanswered and due for the next role, without those that quiet hours hold back.</summary>
    public static IReadOnlyList<ReminderRecord> DueForEscalation(StudioSession session, DateTimeOffset now, int limit) =>
        session.Query<ReminderRecord>(
            $"""
            {Columns} WHERE state = 2 AND escalate_due_ms <= @nowMs AND (safety = 1 OR site IS NULL OR site NOT IN @quiet)
             ORDER BY escalate_due_ms, sequence LIMIT @limit
            """, new { nowMs = now.ToUnixMs(), quiet = QuietSites(session, now), limit });

    public static void MarkEscalated(StudioTransaction tx, string name, Contact.Types.Role role) => tx.Execute(
        """
        UPDATE reminders SET recipient_role = @role, escalate_ms = @nowMs, escalate_due_ms = NULL WHERE name = @name
        """, new { name, role = (int)role, nowMs = tx.Now.ToUnixMs() });

    public static void MarkAcknowledged(StudioTransaction tx, string name, string acknowledger) => tx.Execute(
        """
        UPDATE reminders SET state = 3, acknowledge_ms = @nowMs, acknowledger = @acknowledger, escalate_due_ms = NULL
         WHERE name = @name AND state = 2
        """, new { name, acknowledger, nowMs = tx.Now.ToUnixMs() });

    /// <summary>Writes a decision.</summary>
    public static void Save(StudioTransaction tx, ReminderChanges changes)
    {
        foreach (var withdrawal in changes.Withdrawals) Withdraw(tx, withdrawal.Name, withdrawal.Reason);
        foreach (var answer in changes.Answers) MarkAcknowledged(tx, answer.Name, answer.Worker);
        foreach (var move in changes.Moves)
            tx.Execute("UPDATE reminders SET remind_ms = @RemindMs, text = @Text WHERE name = @Name AND state = 1", move);
        foreach (var draft in changes.Drafts) Insert(tx, draft);
    }

    public static void Withdraw(StudioTransaction tx, string name, string reason) => tx.Execute(
        """
        UPDATE reminders SET state = 4, withdraw_reason = @reason, escalate_due_ms = NULL WHERE name = @name AND state <> 4
        """, new { name, reason });

    /// <summary>A person has another address, or wants nothing: what has not arrived goes there, or nowhere.</summary>
    /// <param name="email">Empty: what waits and what is on its way is withdrawn.</param>
    public static void FollowRecipient(StudioTransaction tx, string recipient, string email)
    {
        // What was told as well: if it is taken back, that goes where the person is now.
        tx.Execute("UPDATE reminders SET recipient_email = @email WHERE recipient = @recipient AND recipient <> '' AND state IN (1, 5)", new { recipient, email });
        if (email.Length > 0) DeliveryStore.Readdress(tx, recipient, email);
        else WithdrawUndelivered(tx, recipient);
    }

    private static void WithdrawUndelivered(StudioTransaction tx, string recipient) => tx.Execute(
        """
        UPDATE reminders SET state = 4, withdraw_reason = 'the recipient gets no messages'
         WHERE recipient = @recipient AND recipient <> '' AND (state = 1 OR state = 5 AND EXISTS
             (SELECT 1 FROM deliveries WHERE reminder = reminders.name AND next_attempt_ms IS NOT NULL))
        """,
        new { recipient });

    /// <summary>Inserts a waiting reminder; subject, kind and what came before keep two writers from making the same one twice.</summary>
    /// <remarks>The number follows the newest of them, not how many there are: an erasure takes rows away, and a key must not come back.</remarks>
    private static void Insert(StudioTransaction tx, ReminderDraft draft) => tx.Execute(
        """
        INSERT INTO reminders (name, studio, site, kind, state, subject, decision, text, recipient_role, recipient,
                               recipient_email, safety, remind_ms, trace_parent)
        SELECT @name, @Studio, @Site, @kind, 1, @Subject,
               @Subject || '|' || @kind || '|' || (1 + coalesce(max(sequence), 0)), @Text, @role, @Recipient, @RecipientEmail, @Safety,
               @RemindMs, @TraceParent
          FROM reminders WHERE subject = @Subject AND kind = @kind
        """,
        new
        {
            name = ResourceKind.Reminder.Under(draft.Studio, ResourceKind.Reminder.NewId()),
            draft.Studio,
            draft.Site,
            kind = (int)draft.Kind,
            draft.Subject,
            draft.Text,
            role = (int)draft.RecipientRole,
            draft.Recipient,
            draft.RecipientEmail,
            draft.Safety,
            draft.RemindMs,
            tx.TraceParent,
        });

    /// <summary>The sites whose quiet hours hold now. All are asked: a node has few, and may have many reminders.</summary>
    private static IReadOnlyList<string> QuietSites(StudioSession session, DateTimeOffset now) =>
        [.. SiteStore.GetSites(session).Where(site => QuietHours.Of(site).Hold(now)).Select(site => site.Name)];
}
