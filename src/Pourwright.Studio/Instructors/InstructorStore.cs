using Pourwright.Studio.Names;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Instructors;

/// <summary>SQL of the instructors and their absences.</summary>
public static class InstructorStore
{
    private const string Columns =
        "SELECT name, studio, display_name, email, home_site, weekdays, days_a_week, farthest_minutes, etag FROM instructors";

    public static InstructorRecord? FindInstructor(StudioSession session, string name) =>
        WithOfferings(session, session.Query<InstructorRecord>($"{Columns} WHERE name = @name", new { name })) is [var found] ? found : null;

    /// <exception cref="Refusals.Refusal">INSTRUCTOR_NOT_FOUND.</exception>
    public static InstructorRecord GetInstructor(StudioSession session, string name) =>
        FindInstructor(session, name) ?? throw ResourceKind.Instructor.NotFound(name);

    /// <summary>Every instructor of a studio, by name.</summary>
    public static IReadOnlyList<InstructorRecord> GetInstructors(StudioSession session, string studio) =>
        WithOfferings(session, session.Query<InstructorRecord>($"{Columns} WHERE studio = @studio ORDER BY name", new { studio }));

    public static IReadOnlyList<InstructorRecord> ListInstructors(StudioSession session, string studio, PageRequest page) =>
        WithOfferings(session, session.Query<InstructorRecord>(
            $"{Columns} WHERE studio = @studio AND name > @after ORDER BY name LIMIT @limit",
            new { studio, after = page.AfterText, limit = page.Limit }));

    /// <exception cref="Refusals.Refusal">INSTRUCTOR_EXISTS.</exception>
    public static void InsertInstructor(StudioTransaction tx, InstructorRecord instructor)
    {
        if (FindInstructor(tx, instructor.Name) is not null) throw ResourceKind.Instructor.AlreadyExists(instructor.Name);
        tx.Execute(
            """
            INSERT INTO instructors (name, studio, display_name, email, home_site, weekdays, days_a_week, farthest_minutes, etag)
            VALUES (@Name, @Studio, @DisplayName, @Email, @HomeSite, @Weekdays, @DaysAWeek, @FarthestMinutes, @Etag)
            """,
            instructor);
        InsertOfferings(tx, instructor);
    }

    public static void UpdateInstructor(StudioTransaction tx, InstructorRecord instructor)
    {
        tx.Execute(
            """
            UPDATE instructors
               SET display_name = @DisplayName, email = @Email, home_site = @HomeSite, weekdays = @Weekdays,
                   days_a_week = @DaysAWeek, farthest_minutes = @FarthestMinutes, etag = @Etag
             WHERE name = @Name
            """,
            instructor);
        tx.Execute("DELETE FROM instructor_offerings WHERE instructor = @Name", instructor);
        InsertOfferings(tx, instructor);
    }

    private static void InsertOfferings(StudioTransaction tx, InstructorRecord instructor) => tx.Execute(
        "INSERT INTO instructor_offerings (instructor, position, offering) VALUES (@Name, @position, @offering)",
        instructor.Offerings.Select((offering, position) => new { instructor.Name, position, offering }));

    private static List<InstructorRecord> WithOfferings(StudioSession session, IReadOnlyList<InstructorRecord> instructors)
    {
        var taught = session.Query<Taught>(
            "SELECT instructor, offering FROM instructor_offerings WHERE instructor IN @names ORDER BY instructor, position",
            new { names = instructors.Select(instructor => instructor.Name) }).ToLookup(row => row.Instructor, row => row.Offering);
        return [.. instructors.Select(instructor => instructor with { Offerings = [.. taught[instructor.Name]] })];
    }

    private const string AbsenceColumns = "SELECT name, instructor, start_date, end_date, reason FROM absences";

    /// <exception cref="Refusals.Refusal">ABSENCE_NOT_FOUND.</exception>
    public static AbsenceRecord GetAbsence(StudioSession session, string name) =>
        session.Find<AbsenceRecord>($"{AbsenceColumns} WHERE name = @name", new { name }) ?? throw ResourceKind.Absence.NotFound(name);

    /// <summary>The absences of all instructors of a studio, by first day.</summary>
    public static IReadOnlyList<AbsenceRecord> GetAbsences(StudioSession session, string studio) =>
        session.Query<AbsenceRecord>(
            $"{AbsenceColumns} WHERE instructor IN (SELECT name FROM instructors WHERE studio = @studio) ORDER BY start_date, name",
            new { studio });

    public static IReadOnlyList<AbsenceRecord> ListAbsences(StudioSession session, string instructor, PageRequest page) =>
        session.Query<AbsenceRecord>(
            $"{AbsenceColumns} WHERE instructor = @instructor AND name > @after ORDER BY name LIMIT @limit",
            new { instructor, after = page.AfterText, limit = page.Limit });

    /// <exception cref="Refusals.Refusal">ABSENCE_EXISTS.</exception>
    public static void InsertAbsence(StudioTransaction tx, AbsenceRecord absence)
    {
        if (tx.Find<AbsenceRecord>($"{AbsenceColumns} WHERE name = @Name", absence) is not null)
            throw ResourceKind.Absence.AlreadyExists(absence.Name);
        tx.Execute(
            """
            INSERT INTO absences (name, instructor, start_date, end_date, reason)
            VALUES (@Name, @Instructor, @StartDate, @EndDate, @Reason)
            """,
            absence);
    }

    /// <exception cref="Refusals.Refusal">ABSENCE_NOT_FOUND.</exception>
    public static void DeleteAbsence(StudioTransaction tx, string name)
    {
        if (tx.ExecuteCounted("DELETE FROM absences WHERE name = @name", new { name }) == 0) throw ResourceKind.Absence.NotFound(name);
    }

    private sealed record Taught(string Instructor, string Offering);
}
