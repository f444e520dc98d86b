using Pourwright.Studio.Calendars;
using Pourwright.Studio.Classes;
using Pourwright.Studio.Classes.Enrolments;
using Pourwright.Studio.Names;
using Pourwright.Studio.Pieces;
using Pourwright.Studio.Recalls;
using Pourwright.Studio.Storage;
using Pourwright.Studio.StudentLinks;
using Pourwright.V1;

namespace Pourwright.Studio.Privacy;

/// <summary>SQL of what names a person.</summary>
internal static class PersonStore
{
    private const string Live = "s.state <> 3";

    public static HealthNote GetNote(StudioSession session, string student)
    {
        var row = session.Find<NoteRow>("SELECT note, consent_ms FROM health_notes WHERE student = @student", new { student });
        return new() { Student = student, Note = row?.Note ?? "", ConsentTime = Instants.ToTimestamp(row?.ConsentMs) };
    }

    public static void SetNote(StudioTransaction tx, string student, string note, bool consents)
    {
        tx.Execute("DELETE FROM health_notes WHERE student = @student", new { student });
        if (consents && note.Length > 0)
            tx.Execute("INSERT INTO health_notes (student, note, consent_ms) VALUES (@student, @note, @now)", new { student, note, now = tx.Now.ToUnixMs() });
    }

    public static IReadOnlyList<EnrolmentRecord> Places(StudioSession session, string student) =>
        [.. session.Query<string>("SELECT name FROM enrolments WHERE student = @student ORDER BY sequence", new { student })
            .Select(name => StudentStore.GetEnrolment(session, name))];

    /// <summary>Sessions of the classes in which somebody has a seat.</summary>
    public static IReadOnlyList<SessionRecord> Sessions(StudioSession session, string student) =>
        [.. Places(session, student).Where(place => place.HoldsSeat).SelectMany(place => ClassStore.GetSessions(session, place.Class))];

    public static ErasureFacts LoadErasure(StudioSession session, StudentRecord student)
    {
        StudentRecord[] others = [.. StudentStore.GetStudents(session, student.Studio).Where(other => other.Name != student.Name)];
        return new(
            student,
            [.. Places(session, student.Name).Select(place => (place, StudentStore.GetEnrolments(session, place.Class)))],
            [.. session.Query<PieceRow>(
                """
                SELECT p.name, p.maker, p.casting_class,
                       (SELECT count(*) FROM student_links l WHERE l.piece = p.name AND l.student = @Name) AS link_count,
                       (SELECT count(*) FROM student_links l WHERE l.piece = p.name AND l.student <> @Name) AS other_link_count
                  FROM pieces p WHERE p.studio = @Studio AND p.maker <> '' ORDER BY p.name
                """, student).Where(row => row.LinkCount > 0 || ChooseErased.Calls(row.Maker, student)).Select(row => Named(row, others))]);
    }

    private static NamedPiece Named(PieceRow row, StudentRecord[] others) => new(
        row.Name, row.Maker, row.CastingClass, row.LinkCount > 0, row.OtherLinkCount > 0, others.Any(other => ChooseErased.Calls(row.Maker, other)));

    /// <summary>Notices of recalls to a student, and those about their pieces alone that name the maker without knowing whom.</summary>
    public static IReadOnlyList<NoticeRecord> Notices(StudioSession session, StudentRecord student, IReadOnlyList<NamedPiece> pieces) =>
    [
        .. session.Query<string>(
                """
                SELECT n.name FROM recall_notices n JOIN recalls r ON r.name = n.recall
                 WHERE r.studio = @Studio AND (n.recipient = @Name OR n.recipient NOT LIKE 'studios/%') ORDER BY n.name
                """, student)
            .Select(name => RecallStore.GetNotice(session, name))
            .Where(notice => notice.Recipient == student.Name || ChooseErased.IsAboutNoneBut(notice.Person, notice.PieceNames, pieces)),
    ];

    public static PersonRecord Export(StudioSession session, string name)
    {
        var student = StudentStore.GetStudent(session, name);
        var pieces = ChooseErased.Decide(LoadErasure(session, student), []);
        return new()
        {
            Student = student.ToProto(),
            FormerNames = { StudentRecord.Lines(student.FormerNames) },
            HealthNote = GetNote(session, name),
            Enrolments = { Places(session, name).Select(place => place.ToProto(ClassStore.GetSessions(session, place.Class))) },
            Pieces = { PieceStore.GetPieces(session, [.. pieces.Select(piece => piece.Name)]).Select(piece => piece.ToProto()) },
            StudentLinks = { Names(session, "student_links", "student", name).Select(link => StudentLinkStore.Get(session, link).ToProto()) },
            CalendarLinks = { Names(session, "calendar_links", "subject", name).Select(link => CalendarStore.GetLink(session, link).ToProto()) },
            Reminders = { Names(session, "reminders", "recipient", name).Select(reminder => Reminders.ReminderStore.GetReminder(session, reminder).ToProto()) },
            RecallNotices = { Notices(session, student, pieces).Select(notice => notice.ToProto()) },
        };
    }

    /// <summary>Whose last session ended before an instant, and who has none ahead; who was forgotten already has no name to forget.</summary>
    public static IReadOnlyList<DueStudent> Due(StudioSession session, string studio, long beforeMs, string after, int limit) => session.Query<DueStudent>(
        $"""
        SELECT st.name AS student, max(s.end_ms) AS last_ms
          FROM students st JOIN enrolments e ON e.student = st.name JOIN sessions s ON s.class = e.class AND {Live}
         WHERE st.studio = @studio AND st.name > @after AND st.etag <> @erased
           AND NOT EXISTS (SELECT 1 FROM enrolments o JOIN classes c ON c.name = o.class AND c.state IN (1, 2)
                            WHERE o.student = st.name AND o.state IN (1, 2, 3)
                              AND NOT EXISTS (SELECT 1 FROM sessions n WHERE n.class = o.class AND n.state <> 3))
         GROUP BY st.name HAVING max(s.end_ms) < @beforeMs ORDER BY st.name LIMIT @limit
        """, new { studio, beforeMs, after, limit, erased = EraseStore.ErasedEtag });

    private static IReadOnlyList<string> Names(StudioSession session, string table, string column, string name) =>
        session.Query<string>($"SELECT name FROM {table} WHERE {column} = @name ORDER BY name", new { name });

    private sealed record NoteRow
    {
        public required string Note { get; init; }
        public required long ConsentMs { get; init; }
    }

    private sealed record PieceRow
    {
        public required string Name { get; init; }
        public required string Maker { get; init; }
        public required string CastingClass { get; init; }
        public required long LinkCount { get; init; }
        public required long OtherLinkCount { get; init; }
    }
}

/// <summary>A student whose last session is over.</summary>
internal sealed record DueStudent
{
    public required string Student { get; init; }
    public required long LastMs { get; init; }
}
