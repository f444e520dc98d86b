using System.ComponentModel;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console.Cli;
using Spectre.Console.Rendering;

namespace Pourwright.Cli.Nouns;

/// <summary><c>pourwright student ...</c></summary>
public static class StudentNoun
{
    public static void Register(Noun noun)
    {
        noun.Describe("Who takes part: a name, an address, consent to messages; and what they say of their health where they agree");
        noun.Verb<Create>("create", "Creates a student", CreateAsync,
            "student", "create", "mara", "--name", "Mara", "--email", "mara@example.org", "--consent", "yes");
        noun.Verb<Change>("change", "Changes what is given, leaves the rest", ChangeAsync, "student", "change", "mara", "--consent", "no");
        noun.Verb<StudioSettings>("list", "Lists the students", ListAsync);
        noun.Verb<One>("show", "Shows a student", ShowAsync);
        noun.Verb<Enrol>("enrol", "Takes a seat in every session of a class, or a place on its waiting list", EnrolAsync,
            "student", "enrol", "mara", "boards", "--day", "2026-11-14", "--day", "2026-11-22");
        noun.Verb<Place>("withdraw", "Gives a seat or a place back; a free seat is offered to the next", WithdrawAsync, "student", "withdraw", "boards/place-1");
        noun.Verb<Place>("accept", "Takes the seat that is offered", AcceptAsync);
        noun.Verb<Place>("decline", "Does not take the seat that is offered", DeclineAsync);
        noun.Verb<StudentPrivacyVerbs.Health>("health", "Reads what a student said of their health; keeps or forgets it with --note and --consent", StudentPrivacyVerbs.HealthAsync,
            "student", "health", "mara", "--note", "hands react to hardener", "--consent", "yes");
        noun.Verb<StudentPrivacyVerbs.One>("export", "Shows all that names a student, for them to have; as a file with --json", StudentPrivacyVerbs.ExportAsync);
        noun.Verb<StudentPrivacyVerbs.Erase>("erase", "Forgets a student for good: pieces and traces go on under a pseudonym; --check asks first", StudentPrivacyVerbs.EraseAsync,
            "student", "erase", "mara", "--check");
        noun.Verb<StudioSettings>("due", "Lists students whose last session is so long ago that they are to be erased", StudentPrivacyVerbs.DueAsync);
        noun.Verb<StudentLinkVerbs.Make>("link", "Makes a link to what one student may see, of a place or of a piece; its address is shown this once",
            StudentLinkVerbs.MakeAsync, "student", "link", "boards/place-1");
        noun.Verb<StudioSettings>("links", "Lists the links, revoked ones too", StudentLinkVerbs.ListAsync);
        noun.Verb<StudentLinkVerbs.Shut>("unlink", "Shuts a link for good", StudentLinkVerbs.ShutAsync, "student", "unlink", "studentlink-7k3f-9qtm");
    }

    public static IRenderable Card(Student student) => Sheets.Card($"Student {ResourceNames.Brief(student.Name)}",
        ("Name", student.DisplayName), ("E-mail", student.ContactEmail), ("Messages", student.ConsentToMessages ? "agreed" : "not agreed: none are sent"));

    public static IRenderable EnrolmentCard(Enrolment enrolment, SiteClock clock) =>
        Sheets.Stack([EnrolmentRows(new() { Enrolments = { enrolment } }, clock), .. Cautions.Show(enrolment.Cautions)]);

    public static IRenderable EnrolmentRows(ListEnrolmentsResponse all, SiteClock clock) => Sheets.Rows("Nobody.",
        ["Place", "Student", "State", "Offer ends", "Can come on"],
        all.Enrolments.Select(one => new Cell[]
        {
            ResourceNames.Brief(one.Name), one.StudentDisplayName, new(Words.Of(one.State).ToUpperInvariant(), one.Cautions.Count > 0 ? Tone.Wait : Tone.Plain),
            one.State is Enrolment.Types.State.Offered ? clock.At(one.ExpireTime, null) : "",
            one.AcceptedDates.Count == 0 ? "any day" : string.Join(", ", one.AcceptedDates.Select(WrittenDay.Of)),
        }));

    private static async Task CreateAsync(Desk desk, Create s)
    {
        var request = new CreateStudentRequest { Parent = desk.Names.Studio, Student = Filled(s), StudentId = s.Id, RequestId = s.RequestId };
        await desk.PrintAsync(await desk.Server.Students.CreateStudentAsync(request, desk.Call), (student, _) => Card(student));
    }

    private static async Task ChangeAsync(Desk desk, Change s)
    {
        var student = Filled(s);
        student.Name = desk.Names.Student(s.Id);
        await desk.PrintAsync(await desk.Server.Students.UpdateStudentAsync(new() { Student = student, RequestId = s.RequestId }, desk.Call),
            (changed, _) => Card(changed));
    }

    private static Student Filled(Values s)
    {
        var student = new Student { DisplayName = s.DisplayName ?? "", ContactEmail = s.Email ?? "" };
        if (s.Consent is { } consent)
            student.ConsentToMessages = consent == YesNo.Yes;
        return student;
    }

    private static async Task ListAsync(Desk desk, StudioSettings s) => await desk.PrintAsync(
        await Server.ListAsync(new ListStudentsRequest { Parent = desk.Names.Studio }, desk.Server.Students.ListStudentsAsync, desk.Stop),
        (all, _) => Sheets.Rows("No student yet.", ["Student", "Name", "E-mail", "Messages"], all.Students.Select(student => new Cell[]
        {
            ResourceNames.Brief(student.Name), student.DisplayName, student.ContactEmail, student.ConsentToMessages ? "agreed" : "not agreed",
        })));

    private static async Task ShowAsync(Desk desk, One s) => await desk.PrintAsync(
        await desk.Server.Students.GetStudentAsync(new() { Name = desk.Names.Student(s.Id) }, desk.Call), (student, _) => Card(student));

    private static async Task EnrolAsync(Desk desk, Enrol s)
    {
        var request = new EnrolStudentRequest
        {
            Parent = desk.Names.Class(s.Class),
            Student = desk.Names.Student(s.Id),
            AcceptedDates = { s.Days.Select(WrittenDay.Parse) },
            RequestId = s.RequestId,
        };
        await desk.PrintAsync(await desk.Server.Students.EnrolStudentAsync(request, desk.Call), EnrolmentCard);
    }

    private static async Task WithdrawAsync(Desk desk, Place s) => await desk.PrintAsync(
        await desk.Server.Students.WithdrawEnrolmentAsync(new() { Name = desk.Names.Enrolment(s.Id), RequestId = s.RequestId }, desk.Call), EnrolmentCard);

    private static async Task AcceptAsync(Desk desk, Place s) => await desk.PrintAsync(
        await desk.Server.Students.AcceptSeatAsync(new() { Name = desk.Names.Enrolment(s.Id), RequestId = s.RequestId }, desk.Call), EnrolmentCard);

    private static async Task DeclineAsync(Desk desk, Place s) => await desk.PrintAsync(
        await desk.Server.Students.DeclineSeatAsync(new() { Name = desk.Names.Enrolment(s.Id), RequestId = s.RequestId }, desk.Call), EnrolmentCard);

    /// <summary>An answer that must be given in words: consent is never taken from a bare switch.</summary>
    internal enum YesNo
    {
        Unsaid,
        Yes,
        No,
    }

    private abstract class Values : WriteSettings
    {
        [CommandOption("-n|--name <NAME>")]
        [Description("What people call the student")]
        public string? DisplayName { get; init; }

        [CommandOption("--email <ADDRESS>")]
        [Description("Where messages go")]
        public string? Email { get; init; }

        [CommandOption("--consent <YES-OR-NO>")]
        [Description("The student agreed to messages about booked classes; no unless told")]
        [TypeConverter(typeof(WordConverter<YesNo>))]
        public YesNo? Consent { get; init; }
    }

    private sealed class Create : Values
    {
        [CommandArgument(0, "<student>")]
        [Description("The id: lower-case letters, digits and hyphens")]
        public required string Id { get; init; }
    }

    private sealed class Change : Values
    {
        [CommandArgument(0, "<student>")]
        public required string Id { get; init; }
    }

    private sealed class One : StudioSettings
    {
        [CommandArgument(0, "<student>")]
        public required string Id { get; init; }
    }

    private sealed class Enrol : WriteSettings
    {
        [CommandArgument(0, "<student>")]
        public required string Id { get; init; }

        [CommandArgument(1, "<class>")]
        public required string Class { get; init; }

        [CommandOption("--day <DAY>")]
        [Description("A day on which the student can come, for example 2026-11-14; repeat for more; any day unless told")]
        public string[] Days { get; init; } = [];
    }

    private sealed class Place : WriteSettings
    {
        [CommandArgument(0, "<place>")]
        [Description("Class and place, as the roster shows it: boards/place-1")]
        public required string Id { get; init; }
    }
}
