namespace Pourwright.Faults.Simulation;

/// <summary>A mistake put between the code and its store on purpose, to see whether the simulation finds it. Production code knows nothing of it.</summary>
/// <param name="Name">What the code would do, in words.</param>
/// <param name="Edits">Parts of statements, and what they become.</param>
internal sealed record PlantedBug(string Name, params (string From, string To)[] Edits)
{
    private int _recorded;

    public static readonly PlantedBug None = new("as it is");

    public bool KeepsFailedWrites { get; init; }

    public bool HidesFailedCommits { get; init; }

    public bool LosesLinks { get; init; }

    /// <summary>Statements that it changed.</summary>
    public int HitCount { get; private set; }

    public string Sql(string sql)
    {
        foreach (var (from, to) in Edits)
        {
            if (!sql.Contains(from, StringComparison.Ordinal) || sql.Contains(to, StringComparison.Ordinal)) continue;
            HitCount++;
            sql = sql.Replace(from, to, StringComparison.Ordinal);
        }
        return sql;
    }

    /// <summary>New rows of evidence that get their links.</summary>
    public IReadOnlyList<object?[]> Recorded(IReadOnlyList<object?[]> rows) => LosesLinks && rows.Count > 0 && ++_recorded % 5 == 0 ? [] : rows;

    /// <summary>Each of them must be found, but for one in twenty.</summary>
    public static IReadOnlyList<PlantedBug> All =>
    [
        new("forgets what it answered",
            ("FROM requests_seen WHERE method = @Method AND request_id = @RequestId", "FROM requests_seen WHERE method = @Method AND request_id = @RequestId AND 1 = 0"),
            ("INSERT INTO requests_seen", "INSERT OR REPLACE INTO requests_seen")),
        new("answers a repeat of any call by the first answer of its kind",
            ("FROM requests_seen WHERE method = @Method AND request_id = @RequestId", "FROM requests_seen WHERE method = @Method AND request_id <= @RequestId ORDER BY request_id LIMIT 1")),
        new("forgets answers within minutes", ("FROM requests_seen WHERE seen_ms < @before ORDER", "FROM requests_seen WHERE seen_ms < @before + 604000000 ORDER")),
        new("lets a message take effect with each delivery",
            ("VALUES (@Id, @Consumer, @now) ON CONFLICT DO NOTHING", "VALUES (@Id, @Consumer, @now) ON CONFLICT (message_id, consumer) DO UPDATE SET handled_ms = excluded.handled_ms"),
            ("SELECT count(*) FROM inbox WHERE message_id = @Id AND consumer = @Consumer", "SELECT 0 FROM studios WHERE @Id <> @Consumer")),
        new("never finishes a message", ("WHERE message_id = @id AND finished_ms IS NULL", "WHERE message_id = @id AND finished_ms IS NULL AND 1 = 0")),
        new("does not hand over again what was lost", ("published_ms < @before AND attempts < @AttemptMost", "published_ms < @before AND attempts < @AttemptMost AND 1 = 0")),
        new("hands over the newest first", ("AND finished_ms IS NULL\nORDER BY sequence LIMIT @limit", "AND finished_ms IS NULL\nORDER BY sequence DESC LIMIT @limit")),
        new("forgets messages that are not finished",
            ("SELECT sequence FROM outbox WHERE finished_ms < @before ORDER BY finished_ms", "SELECT sequence FROM outbox WHERE created_ms < @before + 604000000 ORDER BY created_ms")),
        new("saves half of its pours without their message",
            ("VALUES (@id, @kind, @body, @now, @TraceParent)", "SELECT @id, @kind, @body, @now, @TraceParent WHERE @kind <> 'PourRecorded' OR @now / 1000 % 2 = 0")),
        new("keeps what a failed write wrote") { KeepsFailedWrites = true },
        new("says kept of a commit that failed") { HidesFailedCommits = true },
        new("leaves every fifth record without its link") { LosesLinks = true },
        new("draws from the first can alone",
            ("remaining_mass_mg = excluded.remaining_mass_mg", "remaining_mass_mg = CASE WHEN containers.part = 2 THEN containers.remaining_mass_mg ELSE excluded.remaining_mass_mg END")),
        new("writes down the draws of the first can alone",
            ("VALUES (@Container, @Kind, @MassMg, @Lot,", "VALUES (@Container, @Kind, CASE WHEN @Container LIKE '%-b-can' THEN 0 ELSE @MassMg END, @Lot,")),
        new("sends a reminder again and again",
            ("WHERE r.state = 1 AND r.remind_ms", "WHERE r.state IN (1, 2) AND r.remind_ms"), ("WHERE name = @Name AND state = 1", "WHERE name = @Name AND state IN (1, 2)")),
        new("sends in quiet hours", ("r.site NOT IN @quiet", "r.site NOT IN @quiet OR 1 = 1")),
        new("sends an hour early",
            ("r.state = 1 AND r.remind_ms <= @nowMs", "r.state = 1 AND r.remind_ms <= @nowMs + 3600000"), ("WHERE state = 1 AND remind_ms <= @nowMs)", "WHERE state = 1 AND remind_ms <= @nowMs + 3600000)")),
        new("counts places by what is out", ("SELECT max(send_sequence) FROM reminders", "SELECT count(*) FROM reminders WHERE state IN (2, 5)")),
        new("leaves a waiting reminder at its old time",
            ("SET remind_ms = @RemindMs, text = @Text WHERE name = @Name AND state = 1", "SET text = @Text WHERE name = @Name AND state = 1")),
        new("warns again with each forecast",
            ("WHERE subject = @subject OR subject IN (SELECT name FROM reminders WHERE subject = @subject)", "WHERE kind <> 8 AND subject = @subject")),
        new("withdraws nothing", ("SET state = 4, withdraw_reason = @reason, escalate_due_ms = NULL WHERE name = @name AND state <> 4", "SET withdraw_reason = @reason WHERE name = @name AND state <> 4")),
        new("hands on what was acknowledged", ("SET state = 3, acknowledge_ms = @nowMs, acknowledger = @acknowledger, escalate_due_ms = NULL", "SET acknowledge_ms = @nowMs, acknowledger = @acknowledger")),
        new("gives up a mail at its first failure", ("next_attempt_ms = CASE WHEN @isAgain = 1 THEN next_attempt_ms END", "next_attempt_ms = NULL")),
        new("takes a mail that failed for delivered",
            ("delivered_ms = CASE WHEN @isDelivered = 1 THEN @nowMs END", "delivered_ms = @nowMs"), ("next_attempt_ms = CASE WHEN @isAgain = 1 THEN next_attempt_ms END", "next_attempt_ms = NULL")),
        new("delivers what was withdrawn", ("reminder IN (SELECT name FROM reminders WHERE state IN (3, 4))", "reminder IN (SELECT name FROM reminders WHERE state IN (9))")),
        new("does not forecast again after readings", ("WHERE at = @own OR (@own IS NULL AND", "WHERE 1 = 0 AND at = @own OR (1 = 0 AND @own IS NULL AND")),
    ];
}
