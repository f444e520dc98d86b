using Pourwright.Studio.Classes.Enrolments;
using Pourwright.Studio.Instructors;
using Pourwright.Studio.Reminders;
using Pourwright.V1;

namespace Pourwright.Studio.Classes;

/// <summary>Whom a change of sessions concerns.</summary>
public sealed record NewsFacts
{
    public required ClassRecord Class { get; init; }

    /// <summary>What people call each site, by name.</summary>
    public required IReadOnlyDictionary<string, string> Places { get; init; }

    /// <summary>Who has a seat or is offered one.</summary>
    public required IReadOnlyList<StudentRecord> Seated { get; init; }

    /// <summary>Those who teach a session that changed, or taught it.</summary>
    public required IReadOnlyList<InstructorRecord> Instructors { get; init; }
}

/// <summary>One message a change to each person concerned; none to a student who did not agree to messages.</summary>
public static class SessionNews
{
    public static ReminderChanges Decide(SessionsChanged news, NewsFacts facts, long nowMs)
    {
        var changes = new ReminderChanges();
        foreach (var student in facts.Seated.Where(student => student.IsReachable))
            changes.Add(Draft(news, facts, student.Name, student.ContactEmail, ClassTexts.ToStudent(facts.Class, news, PlaceOf), nowMs));
        var unreached = facts.Seated.Count(student => !student.IsReachable);
        foreach (var instructor in facts.Instructors)
            changes.Add(Draft(news, facts, instructor.Name, instructor.Email,
                ClassTexts.ToInstructor(facts.Class, news, instructor.Name, PlaceOf, unreached), nowMs));
        return changes;

        string PlaceOf(string site) => facts.Places.GetValueOrDefault(site, site);
    }

    /// <summary>The names of those who teach, or taught.</summary>
    public static IReadOnlyList<string> InstructorsOf(SessionsChanged news) =>
        [.. news.Changes.SelectMany(change => new[] { change.Before, change.After }).OfType<SessionRecord>()
            .Where(session => session.IsLive).Select(session => session.Instructor).Distinct()];

    private static ReminderDraft Draft(SessionsChanged news, NewsFacts facts, string recipient, string email, string text, long nowMs) => new()
    {
        Studio = facts.Class.Studio,
        Site = news.Changes.Count > 0 ? news.Changes[0].After.Site : facts.Class.Sites[0],
        Kind = Reminder.Types.Kind.SessionsChanged,
        Subject = facts.Class.Name,
        Text = text,
        RecipientRole = Contact.Types.Role.Unspecified,
        Recipient = recipient,
        RecipientEmail = email,
        RemindMs = nowMs,
    };
}
