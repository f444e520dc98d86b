using Pourwright.Studio.Classes.Enrolments;
using Pourwright.Studio.Names;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.Studio.Storage.Chain;

namespace Pourwright.Studio.Recalls;

/// <summary>SQL of recalls, their notices and answers.</summary>
public static class RecallStore
{
    private const string Columns =
        """
        SELECT r.name, r.studio, r.drill, r.scope, r.scope_date, r.reason, r.starter, r.start_ms, r.list_ms, r.hold_ms, r.piece_count,
               r.handed_over_count, r.stock_mass_mg, r.person_count, r.reachable_count, c.outcome, c.gaps, c.closer, c.close_ms
        """;

    private const string Rows = "FROM recalls r LEFT JOIN recall_closes c ON c.recall = r.name";

    // 15 is a notice; of one there is one reminder only, what chases it is of another kind.
    private const string NoticeColumns =
        """
        SELECT n.name, n.recall, n.position, n.role, n.person, n.recipient, n.email, n.obstacle, n.site, n.pieces, n.chase_count,
               n.chase_due_ms, n.hand_over_ms, m.send_ms AS tell_ms,
               (SELECT min(d.delivered_ms) FROM deliveries d WHERE d.reminder = m.name) AS deliver_ms,
               a.answer, a.person AS answerer, a.note, a.answer_ms
          FROM recall_notices n
          LEFT JOIN reminders m ON m.subject = n.name AND m.kind = 15
          LEFT JOIN recall_answers a ON a.notice = n.name
           AND a.sequence = (SELECT max(l.sequence) FROM recall_answers l WHERE l.notice = n.name)
        """;

    /// <summary>With what was found.</summary>
    /// <exception cref="Refusals.Refusal">RECALL_NOT_FOUND.</exception>
    public static RecallRecord GetRecall(StudioSession session, string name) =>
        session.Find<RecallRecord>($"{Columns}, r.found {Rows} WHERE r.name = @name", new { name }) ?? throw ResourceKind.Recall.NotFound(name);

    /// <summary>Oldest first, without what was found.</summary>
    public static IReadOnlyList<RecallRecord> ListRecalls(StudioSession session, string studio, PageRequest page) =>
        session.Query<RecallRecord>(
            $"{Columns} {Rows} WHERE r.studio = @studio AND (r.start_ms, r.name) > (@number, @text) ORDER BY r.start_ms, r.name LIMIT @limit",
            new { studio, number = page.AfterNumber, text = page.AfterText, limit = page.Limit });

    /// <summary>Those that are not closed, drills aside, oldest first, without what was found.</summary>
    public static IReadOnlyList<RecallRecord> Open(StudioSession session, string studio) => session.Query<RecallRecord>(
        $"{Columns} {Rows} WHERE r.studio = @studio AND r.drill = 0 AND c.close_ms IS NULL ORDER BY r.start_ms, r.name", new { studio });

    /// <exception cref="Refusals.Refusal">RECALL_EXISTS.</exception>
    public static void Insert(StudioTransaction tx, RecallRecord recall)
    {
        if (tx.Scalar<long>("SELECT count(*) FROM recalls WHERE name = @Name", recall) > 0) throw ResourceKind.Recall.AlreadyExists(recall.Name);
        tx.Execute(
            """
            INSERT INTO recalls (name, studio, drill, scope, scope_date, reason, starter, start_ms, list_ms, hold_ms, piece_count,
                                 handed_over_count, stock_mass_mg, person_count, reachable_count, found, seal_salt, found_seal)
            VALUES (@Name, @Studio, @Drill, @Scope, @ScopeDate, @Reason, @Starter, @StartMs, @ListMs, @HoldMs, @PieceCount,
                    @HandedOverCount, @StockMassMg, @PersonCount, @ReachableCount, @Found, @SealSalt, @FoundSeal)
            """, recall with { SealSalt = SealedText.NewSalt() });
    }

    public static void Close(StudioTransaction tx, CloseRecord close)
    {
        tx.Execute(
            """
            INSERT INTO recall_closes (recall, outcome, gaps, closer, released, close_ms)
            VALUES (@Recall, @Outcome, @Gaps, @Closer, @Released, @CloseMs)
            """, close);
        tx.Execute("UPDATE recall_notices SET chase_due_ms = NULL WHERE recall = @Recall", close);
    }

    /// <summary>In the order of the list.</summary>
    public static IReadOnlyList<NoticeRecord> Notices(StudioSession session, string recall) =>
        session.Query<NoticeRecord>($"{NoticeColumns} WHERE n.recall = @recall ORDER BY n.position", new { recall });

    /// <exception cref="Refusals.Refusal">RECALL_NOTICE_NOT_FOUND.</exception>
    public static NoticeRecord GetNotice(StudioSession session, string name) =>
        session.Find<NoticeRecord>($"{NoticeColumns} WHERE n.name = @name", new { name }) ?? throw ResourceKind.RecallNotice.NotFound(name);

    public static void InsertNotices(StudioTransaction tx, IReadOnlyList<NoticeRecord> notices) => tx.Execute(
        """
        INSERT INTO recall_notices (name, recall, position, role, person, recipient, email, obstacle, site, pieces, chase_due_ms,
                                    seal_salt, person_seal, recipient_seal, email_seal)
        VALUES (@Name, @Recall, @Position, @Role, @Person, @Recipient, @Email, @Obstacle, @Site, @Pieces, @ChaseDueMs,
                @SealSalt, @PersonSeal, @RecipientSeal, @EmailSeal)
        """, notices.Select(notice => notice with { SealSalt = SealedText.NewSalt() }).ToList());

    /// <summary>Notices nobody answered whose time has come to be asked again, or to be handed to the owner.</summary>
    public static IReadOnlyList<NoticeRecord> DueNotices(StudioSession session, long nowMs, int limit) => session.Query<NoticeRecord>(
        $"{NoticeColumns} WHERE n.chase_due_ms <= @nowMs ORDER BY n.chase_due_ms, n.name LIMIT @limit", new { nowMs, limit });

    public static void SaveChase(StudioTransaction tx, IEnumerable<NoticeRecord> notices) => tx.Execute(
        """
        UPDATE recall_notices SET chase_count = @ChaseCount, chase_due_ms = @ChaseDueMs, hand_over_ms = @HandOverMs WHERE name = @Name
        """, notices.ToList());

    /// <summary>Keeps an answer; nobody chases the notice any more.</summary>
    public static void InsertAnswer(StudioTransaction tx, string notice, V1.RecallNotice.Types.Answer answer, string person, string note)
    {
        var row = new { notice, answer = (int)answer, person, note, nowMs = tx.Now.ToUnixMs() };
        tx.Execute("INSERT INTO recall_answers (notice, answer, person, note, answer_ms) VALUES (@notice, @answer, @person, @note, @nowMs)", row);
        tx.Execute("UPDATE recall_notices SET chase_due_ms = NULL WHERE name = @notice", row);
    }

    public static PeopleFacts LoadPeople(StudioSession session, string studio, Reach reach) => new()
    {
        Students = StudentStore.GetStudents(session, studio),
        Places = reach.Pieces.Select(reached => reached.Piece.CastingClass).Distinct()
            .SelectMany(castingClass => StudentStore.GetEnrolments(session, castingClass)).ToLookup(place => place.Class),
        Contacts = PeopleToTell.SitesOf(reach).ToDictionary(site => site, site => SiteStore.GetContacts(session, site)),
    };
}
