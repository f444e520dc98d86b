using Pourwright.Studio.Names;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Calendars;

/// <summary>SQL of links to calendars, and of what calendars show.</summary>
internal static class CalendarStore
{
    private const string LinkColumns =
        "SELECT name, studio, subject, display_name, key_sha256, create_ms, expire_ms, revoke_ms FROM calendar_links";

    /// <summary>No students, and of a session no more than its place, people who teach it and times.</summary>
    private const string SessionColumns =
        $"""
        SELECT s.name, c.display_name AS class_title, p.display_name AS site_title, coalesce(b.display_name, '') AS place_title,
               i.display_name AS instructor_title, s.time_zone, s.local_date, s.local_start_minute, s.start_ms, s.end_ms,
               s.state = @cancelled AS is_cancelled, s.sequence, s.change_reason, s.change_ms
          FROM sessions s
          JOIN classes c ON c.name = s.class
          JOIN sites p ON p.name = s.site
          JOIN instructors i ON i.name = s.instructor
          LEFT JOIN benches b ON b.name = s.bench
        """;

    private const int Cancelled = (int)Session.Types.State.Cancelled;

    /// <exception cref="Refusals.Refusal">CALENDAR_LINK_NOT_FOUND.</exception>
    public static CalendarLinkRecord GetLink(StudioSession session, string name) =>
        FindLink(session, name) ?? throw ResourceKind.CalendarLink.NotFound(name);

    public static CalendarLinkRecord? FindLinkByKey(StudioSession session, byte[] keySha256) =>
        session.Find<CalendarLinkRecord>($"{LinkColumns} WHERE key_sha256 = @keySha256", new { keySha256 });

    /// <summary>By id; only those of a subject where one is given.</summary>
    public static IReadOnlyList<CalendarLinkRecord> ListLinks(StudioSession session, string studio, string subject, PageRequest page) =>
        session.Query<CalendarLinkRecord>(
            $"""
            {LinkColumns}
             WHERE studio = @studio AND name > @after AND (@subject = '' OR subject = @subject)
             ORDER BY name LIMIT @limit
            """,
            new { studio, subject, after = page.AfterText, limit = page.Limit });

    /// <exception cref="Refusals.Refusal">CALENDAR_LINK_EXISTS.</exception>
    public static void InsertLink(StudioTransaction tx, CalendarLinkRecord link)
    {
        if (FindLink(tx, link.Name) is not null) throw ResourceKind.CalendarLink.AlreadyExists(link.Name);
        tx.Execute(
            """
            INSERT INTO calendar_links (name, studio, subject, display_name, key_sha256, create_ms, expire_ms)
            VALUES (@Name, @Studio, @Subject, @DisplayName, @KeySha256, @CreateMs, @ExpireMs)
            """,
            link);
    }

    public static void Revoke(StudioTransaction tx, string name, long revokeMs) =>
        tx.Execute("UPDATE calendar_links SET revoke_ms = @revokeMs WHERE name = @name AND revoke_ms IS NULL", new { name, revokeMs });

    /// <exception cref="Refusals.Refusal">SESSION_NOT_FOUND.</exception>
    public static CalendarSession GetSession(StudioSession session, string name) =>
        session.Find<CalendarSession>($"{SessionColumns} WHERE s.name = @name", new { name, cancelled = Cancelled })
        ?? throw ResourceKind.Session.NotFound(name);

    /// <summary>What ends at an instant or later, of a site, an instructor or the classes in which a student has a seat.</summary>
    public static IReadOnlyList<CalendarSession> GetSessions(StudioSession session, string subject, long fromMs) =>
        session.Query<CalendarSession>(
            $"{SessionColumns} WHERE s.end_ms >= @fromMs AND {ConditionOf(subject)} ORDER BY s.start_ms, s.name",
            new { subject, fromMs, cancelled = Cancelled, enrolled = (int)Enrolment.Types.State.Enrolled });

    private static string ConditionOf(string subject) =>
        ResourceKind.Site.Matches(subject) ? "s.site = @subject"
        : ResourceKind.Instructor.Matches(subject) ? "s.instructor = @subject"
        : "EXISTS (SELECT 1 FROM enrolments e WHERE e.class = s.class AND e.student = @subject AND e.state = @enrolled)";

    private static CalendarLinkRecord? FindLink(StudioSession session, string name) =>
        session.Find<CalendarLinkRecord>($"{LinkColumns} WHERE name = @name", new { name });
}
