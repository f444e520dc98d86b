using Pourwright.Studio.Classes.Enrolments;
using Pourwright.Studio.Instructors;
using Pourwright.Studio.Names;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Calendars;

/// <summary>Whose calendar a feed is: that of a site, an instructor or a student.</summary>
internal static class CalendarSubjects
{
    public static bool IsSubject(string name, string studio) => ResourceNames.IsUnder(name, studio)
        && (ResourceKind.Site.Matches(name) || ResourceKind.Instructor.Matches(name) || ResourceKind.Student.Matches(name));

    /// <exception cref="Refusals.Refusal">SITE_NOT_FOUND, INSTRUCTOR_NOT_FOUND, STUDENT_NOT_FOUND.</exception>
    public static void Check(StudioSession session, string subject) => DisplayNameOf(session, subject);

    /// <summary>What a calendar calls the feed: `Alder, North Hall`; a student's is called after the studio alone.</summary>
    public static string TitleOf(StudioSession session, string studioTitle, string subject) =>
        ResourceKind.Student.Matches(subject) ? studioTitle : $"{studioTitle}, {DisplayNameOf(session, subject)}";

    private static string DisplayNameOf(StudioSession session, string subject) =>
        ResourceKind.Site.Matches(subject) ? SiteStore.GetSite(session, subject).DisplayName
        : ResourceKind.Instructor.Matches(subject) ? InstructorStore.GetInstructor(session, subject).DisplayName
        : StudentStore.GetStudent(session, subject).DisplayName;
}
