using Pourwright.Studio.Classes;
using Pourwright.Studio.Classes.Enrolments;
using Pourwright.Studio.Instructors;
using Pourwright.Studio.Reminders;
using Pourwright.Testing;
using Kind = Pourwright.V1.Session.Types.Kind;

namespace Pourwright.Studio.Tests.Classes;

public sealed class SessionNewsTests
{
    private static readonly IReadOnlyList<SessionChange> First = SessionChanges.Decide([], [ClassFacts.Pour, ClassFacts.Machine], "");

    private static readonly IReadOnlyList<SessionChange> Moved = SessionChanges.Decide(
        [ClassFacts.Pour, ClassFacts.Machine], [ClassFacts.Pour, ClassFacts.Session(Kind.Machine, "2026-03-01", 9 * 60, instructor: ClassFacts.Rui)], "the planer is down");

    [Fact]
    public void Students_WhoAgreed_GetOneMessageEach_OthersNone()
    {
        var changes = Decide(First, "", Student(1, consent: true), Student(2, consent: false), Student(3, consent: true), Student(4, consent: true, email: ""));

        Assert.Equal(
            ["studios/alder/students/student-1", "studios/alder/students/student-3"],
            changes.Drafts.Where(draft => draft.Recipient.Contains("/students/", StringComparison.Ordinal)).Select(draft => draft.Recipient));
    }

    [Fact]
    public void Dates_First_AreSaidWithPlaceAndOffset() => Assert.Equal(
        "Trays in February: dates are set. Pour Sat 21 Feb 10:00 (UTC+00:00) at North Hall. Machine day Sat 28 Feb 09:00 (UTC+00:00) at North Hall. "
        + "Your seat is one in every session. If you cannot come, tell the studio.",
        TextTo("student-1", Decide(First, "", Student(1, consent: true))));

    [Fact]
    public void Dates_Moved_AreSaidWithWhatWasAndWhy() => Assert.Equal(
        "Trays in February: dates have changed. Machine day Sun 1 Mar 09:00 (UTC+00:00) at North Hall, was Sat 28 Feb 09:00 (UTC+00:00) at North Hall. "
        + "Reason: the planer is down. Your seat is one in every session. If you cannot come, tell the studio.",
        TextTo("student-1", Decide(Moved, "the planer is down", Student(1, consent: true))));

    [Fact]
    public void Instructors_BothOfThem_AreToldOfTheirOwnDays()
    {
        var changes = Decide(Moved, "the planer is down", Student(1, consent: false));

        Assert.Contains("Machine day Sun 1 Mar 09:00", TextTo("rui", changes), StringComparison.Ordinal);
        Assert.Contains("Machine day Sat 28 Feb 09:00 (UTC+00:00) is taught by somebody else now.", TextTo("ana", changes), StringComparison.Ordinal);
        Assert.Contains("1 student with a seat gets no message", TextTo("ana", changes), StringComparison.Ordinal);
    }

    [Fact]
    public void Class_GivenUp_IsToldWithItsReasonAlone() => Assert.Equal(
        "Trays in February: given up. Reason: too few students. The studio will tell you what becomes of your booking.",
        TextTo("student-1", SessionNews.Decide(
            new(ClassFacts.Class, "too few students", [], IsGivenUp: true), Facts([], Student(1, consent: true)), 0)));

    [Fact]
    public void NoText_NamesAStudent() => Assert.DoesNotContain(
        Decide(Moved, "x", Student(1, consent: true), Student(2, consent: false)).Drafts, draft => draft.Text.Contains("Mara", StringComparison.Ordinal));

    private static ReminderChanges Decide(IReadOnlyList<SessionChange> changes, string reason, params StudentRecord[] seated)
    {
        var news = new SessionsChanged(ClassFacts.Class, reason, changes, IsGivenUp: false);
        return SessionNews.Decide(news, Facts(SessionNews.InstructorsOf(news), seated), 0);
    }

    private static NewsFacts Facts(IReadOnlyList<string> instructors, params StudentRecord[] seated) => new()
    {
        Class = ClassFacts.Asked(),
        Places = new Dictionary<string, string> { [SampleStudio.North] = "North Hall" },
        Seated = seated,
        Instructors = [.. instructors.Select(name => Instructor(name))],
    };

    private static InstructorRecord Instructor(string name) => new()
    {
        Name = name,
        Studio = SampleStudio.Name,
        DisplayName = name,
        Email = "teacher@alder.example",
        HomeSite = SampleStudio.North,
        Weekdays = 127,
        DaysAWeek = 5,
        FarthestMinutes = 60,
        Etag = "1",
    };

    private static StudentRecord Student(int number, bool consent, string email = "mara@alder.example") => new()
    {
        Name = $"studios/alder/students/student-{number}",
        Studio = SampleStudio.Name,
        DisplayName = $"Mara {number}",
        ContactEmail = email,
        ConsentToMessages = consent,
        Etag = "1",
    };

    private static string TextTo(string id, ReminderChanges changes) =>
        Assert.Single(changes.Drafts, draft => draft.Recipient.EndsWith($"/{id}", StringComparison.Ordinal)).Text;
}
