using Pourwright.Studio.Names;
using Pourwright.Studio.Storage;
using State = Pourwright.V1.Enrolment.Types.State;

namespace Pourwright.Studio.Classes.Enrolments;

/// <summary>SQL of students and enrolments.</summary>
public static class StudentStore
{
    private const string StudentColumns = "SELECT name, studio, display_name, contact_email, consent_to_messages, etag, former_names FROM students";

    public static StudentRecord? FindStudent(StudioSession session, string name) =>
        session.Find<StudentRecord>($"{StudentColumns} WHERE name = @name", new { name });

    /// <exception cref="Refusals.Refusal">STUDENT_NOT_FOUND.</exception>
    public static StudentRecord GetStudent(StudioSession session, string name) =>
        FindStudent(session, name) ?? throw ResourceKind.Student.NotFound(name);

    public static IReadOnlyList<StudentRecord> ListStudents(StudioSession session, string studio, PageRequest page) =>
        session.Query<StudentRecord>(
            $"{StudentColumns} WHERE studio = @studio AND name > @after ORDER BY name LIMIT @limit",
            new { studio, after = page.AfterText, limit = page.Limit });

    /// <summary>All of a studio.</summary>
    public static IReadOnlyList<StudentRecord> GetStudents(StudioSession session, string studio) =>
        session.Query<StudentRecord>($"{StudentColumns} WHERE studio = @studio ORDER BY name", new { studio });

    /// <summary>Who has a seat in a class or is offered one.</summary>
    public static IReadOnlyList<StudentRecord> GetSeated(StudioSession session, string castingClass) => session.Query<StudentRecord>(
        $"""
        {StudentColumns}
         WHERE name IN (SELECT student FROM enrolments WHERE class = @castingClass AND state IN (1, 3))
         ORDER BY name
        """, new { castingClass });

    /// <exception cref="Refusals.Refusal">STUDENT_EXISTS.</exception>
    public static void InsertStudent(StudioTransaction tx, StudentRecord student)
    {
        if (FindStudent(tx, student.Name) is not null) throw ResourceKind.Student.AlreadyExists(student.Name);
        tx.Execute(
            """
            INSERT INTO students (name, studio, display_name, contact_email, consent_to_messages, etag)
            VALUES (@Name, @Studio, @DisplayName, @ContactEmail, @ConsentToMessages, @Etag)
            """, student);
    }

    public static void UpdateStudent(StudioTransaction tx, StudentRecord student) => tx.Execute(
        """
        UPDATE students
           SET display_name = @DisplayName, contact_email = @ContactEmail, consent_to_messages = @ConsentToMessages, etag = @Etag,
               former_names = @FormerNames
         WHERE name = @Name
        """, student);

    private const string EnrolmentColumns =
        """
        SELECT enrolments.sequence, enrolments.name, enrolments.class, enrolments.student,
               students.display_name AS student_display_name, students.former_names AS student_former_names, enrolments.name_shared, enrolments.state, enrolments.accepted_dates, enrolments.offered_ms,
               enrolments.offer_expires_ms, enrolments.created_ms, enrolments.cautions
          FROM enrolments JOIN students ON students.name = enrolments.student
        """;

    /// <exception cref="Refusals.Refusal">ENROLMENT_NOT_FOUND.</exception>
    public static EnrolmentRecord GetEnrolment(StudioSession session, string name) =>
        session.Find<EnrolmentRecord>($"{EnrolmentColumns} WHERE enrolments.name = @name", new { name }) ?? throw ResourceKind.Enrolment.NotFound(name);

    /// <summary>First come first.</summary>
    public static IReadOnlyList<EnrolmentRecord> GetEnrolments(StudioSession session, string castingClass) =>
        session.Query<EnrolmentRecord>($"{EnrolmentColumns} WHERE enrolments.class = @castingClass ORDER BY enrolments.sequence", new { castingClass });

    public static IReadOnlyList<EnrolmentRecord> ListEnrolments(StudioSession session, string castingClass, State state, PageRequest page) =>
        session.Query<EnrolmentRecord>(
            $"""
            {EnrolmentColumns}
             WHERE enrolments.class = @castingClass AND enrolments.sequence > @after AND (@state = 0 OR enrolments.state = @state)
             ORDER BY enrolments.sequence LIMIT @limit
            """,
            new { castingClass, state = (int)state, after = page.AfterNumber, limit = page.Limit });

    /// <summary>Offers that nobody answered in time.</summary>
    public static IReadOnlyList<EnrolmentRecord> ExpiredOffers(StudioSession session, long nowMs) => session.Query<EnrolmentRecord>(
        $"""
        {EnrolmentColumns}
         WHERE enrolments.state = 3 AND enrolments.offer_expires_ms <= @nowMs
         ORDER BY enrolments.offer_expires_ms, enrolments.sequence
        """, new { nowMs });

    /// <exception cref="Refusals.Refusal">ENROLMENT_EXISTS.</exception>
    public static void InsertEnrolment(StudioTransaction tx, EnrolmentRecord enrolment)
    {
        if (tx.Scalar<long>("SELECT count(*) FROM enrolments WHERE name = @Name", enrolment) > 0)
            throw ResourceKind.Enrolment.AlreadyExists(enrolment.Name);
        tx.Execute(
            """
            INSERT INTO enrolments (name, class, student, state, accepted_dates, offered_ms, offer_expires_ms, created_ms, cautions)
            VALUES (@Name, @Class, @Student, @State, @AcceptedDates, @OfferedMs, @OfferExpiresMs, @CreatedMs, @Cautions)
            """, enrolment);
    }

    /// <summary>Says of places that somebody who is to be forgotten shares a name with them.</summary>
    public static void MarkShared(StudioTransaction tx, IEnumerable<EnrolmentRecord> places) =>
        tx.Execute("UPDATE enrolments SET name_shared = 1 WHERE name = @Name", places.Select(place => new { place.Name }).ToList());

    public static void UpdateEnrolment(StudioTransaction tx, EnrolmentRecord enrolment) => tx.Execute(
        """
        UPDATE enrolments
           SET state = @State, offered_ms = @OfferedMs, offer_expires_ms = @OfferExpiresMs, cautions = @Cautions
         WHERE name = @Name
        """, enrolment);
}
