using Pourwright.Studio.Classes.Enrolments;
using Pourwright.Studio.Instructors;
using Pourwright.Studio.Names;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.V1;
using RecipientCase = Pourwright.V1.GetSessionInvitationRequest.RecipientOneofCase;

namespace Pourwright.Studio.Calendars;

/// <summary>Gathers what an invitation says, and whom it goes to.</summary>
internal static class InvitationStore
{
    /// <exception cref="Refusals.Refusal">SESSION_NOT_FOUND, INSTRUCTOR_NOT_FOUND, STUDENT_NOT_FOUND.</exception>
    public static InvitationFacts Load(StudioSession session, GetSessionInvitationRequest request)
    {
        var shown = CalendarStore.GetSession(session, request.Name);
        return new(shown, Organizer(session, request.Name), request.RecipientCase == RecipientCase.Student
            ? Student(session, request.Name, request.Student)
            : Instructor(session, request.Name, request.Instructor));
    }

    /// <summary>The studio, by the address of the site's owner, else of the first of its contacts that has one.</summary>
    private static Correspondent Organizer(StudioSession session, string name)
    {
        var site = session.Scalar<string>("SELECT site FROM sessions WHERE name = @name", new { name });
        var reachable = SiteStore.GetContacts(session, site).Where(contact => contact.Email.Length > 0).ToList();
        var contact = reachable.Find(contact => contact.Role == Contact.Types.Role.Owner) ?? reachable.FirstOrDefault();
        return new(site, SiteStore.GetStudio(session, ResourceNames.StudioOf(name)).DisplayName, contact?.Email ?? "");
    }

    private static Recipient Instructor(StudioSession session, string name, string instructor)
    {
        var person = InstructorStore.GetInstructor(session, instructor);
        var teaches = session.Scalar<long>("SELECT count(*) FROM sessions WHERE name = @name AND instructor = @instructor", new { name, instructor }) > 0;
        return new(new(instructor, person.DisplayName, person.Email), AgreesToMessages: true, teaches ? Participation.Now : Participation.NoMore);
    }

    private static Recipient Student(StudioSession session, string name, string student)
    {
        var person = StudentStore.GetStudent(session, student);
        var states = session.Query<Enrolment.Types.State>(
            "SELECT state FROM enrolments WHERE class = @castingClass AND student = @student",
            new { castingClass = ResourceNames.ParentOf(name), student });
        return new(new(student, person.DisplayName, person.ContactEmail), person.ConsentToMessages, InviteToSession.ParticipationOf(states));
    }
}
