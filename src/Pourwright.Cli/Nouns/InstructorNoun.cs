using System.ComponentModel;
using System.Globalization;
using Google.Protobuf.WellKnownTypes;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console.Cli;
using Spectre.Console.Rendering;
using Date = Google.Type.Date;

namespace Pourwright.Cli.Nouns;

/// <summary><c>pourwright instructor ...</c></summary>
public static class InstructorNoun
{
    public static void Register(Noun noun)
    {
        noun.Describe("Who teaches: what, from where, on which days");
        noun.Verb<Create>("create", "Creates an instructor", CreateAsync,
            "instructor", "create", "ana", "--name", "Ana", "--home", "north", "--teaches", "tray", "--days", "mon-fri", "--farthest", "90min");
        noun.Verb<Change>("change", "Changes what is given, leaves the rest", ChangeAsync, "instructor", "change", "ana", "--days-a-week", "3");
        noun.Verb<StudioSettings>("list", "Lists the instructors", ListAsync);
        noun.Verb<One>("show", "Shows an instructor", ShowAsync);
        noun.Verb<Away>("away", "Says that an instructor is away", AwayAsync,
            "instructor", "away", "ana", "--from", "2026-07-01", "--to", "2026-07-14");
        noun.Verb<One>("absences", "Lists when an instructor is away", AbsencesAsync);
        noun.Verb<Back>("back", "Takes an absence back", BackAsync, "instructor", "back", "ana/absence-7k3f-9qtm");
    }

    public static IRenderable Card(Instructor person) => Sheets.Card($"Instructor {ResourceNames.Brief(person.Name)}",
        ("Name", person.DisplayName),
        ("E-mail", person.Email),
        ("Teaches", person.Offerings.Count == 0 ? new("nothing yet", Tone.Wait) : Teaches(person)),
        ("At home in", ResourceNames.Brief(person.HomeSite)),
        ("Goes at most", Farthest(person)),
        ("On", WeekdayWords.Of(person.Weekdays)),
        ("Days a week", $"at most {person.WeeklyDayCount}"));

    private static Cell Teaches(Instructor person) => string.Join(", ", person.Offerings.Select(ResourceNames.Brief));

    private static string Farthest(Instructor person) => person.FarthestTravelDuration.ToTimeSpan() is { Ticks: > 0 } way ? $"{new Span(way)} one way" : "nowhere else";

    private static async Task CreateAsync(Desk desk, Create s)
    {
        var request = new CreateInstructorRequest { Parent = desk.Names.Studio, Instructor = Filled(desk, s), InstructorId = s.Id ?? "", RequestId = s.RequestId };
        await desk.PrintAsync(await desk.Server.Instructors.CreateInstructorAsync(request, desk.Call), (created, _) => Card(created));
    }

    private static async Task ChangeAsync(Desk desk, Change s)
    {
        var person = Filled(desk, s);
        string[] cleared = [.. s.TeachesNothing ? ["offerings"] : Array.Empty<string>(), .. s.NoEmail ? ["email"] : Array.Empty<string>()];
        var request = new UpdateInstructorRequest { Instructor = person, UpdateMask = Masks.Clearing(person, cleared), RequestId = s.RequestId };
        person.Name = desk.Names.Instructor(s.Id);
        await desk.PrintAsync(await desk.Server.Instructors.UpdateInstructorAsync(request, desk.Call), (changed, _) => Card(changed));
    }

    private static Instructor Filled(Desk desk, Values s)
    {
        var person = new Instructor
        {
            DisplayName = s.DisplayName ?? "",
            Email = s.Email ?? "",
            Offerings = { s.Teaches.Select(desk.Names.Offering) },
            HomeSite = s.Home is null ? "" : desk.Names.Site(s.Home),
            Weekdays = { s.Days is null ? [] : WeekdayWords.Parse(s.Days) },
            FarthestTravelDuration = s.Farthest is { } way ? Duration.FromTimeSpan(way.Length) : null,
        };
        if (s.DaysAWeek is { } days)
            person.WeeklyDayCount = days;
        return person;
    }

    private static async Task ListAsync(Desk desk, StudioSettings s) => await desk.PrintAsync(
        await Server.ListAsync(new ListInstructorsRequest { Parent = desk.Names.Studio }, desk.Server.Instructors.ListInstructorsAsync, desk.Stop),
        (all, _) => Sheets.Rows("No instructor yet.", ["Instructor", "Name", "Home", "Teaches", "On", "A week", "Goes"],
            all.Instructors.Select(person => new Cell[]
            {
                ResourceNames.Brief(person.Name), person.DisplayName, ResourceNames.Brief(person.HomeSite), Teaches(person),
                WeekdayWords.Of(person.Weekdays), $"{person.WeeklyDayCount}", Farthest(person),
            })));

    private static async Task ShowAsync(Desk desk, One s) => await desk.PrintAsync(
        await desk.Server.Instructors.GetInstructorAsync(new() { Name = desk.Names.Instructor(s.Id) }, desk.Call), (person, _) => Card(person));

    private static async Task AwayAsync(Desk desk, Away s)
    {
        var request = new CreateAbsenceRequest
        {
            Parent = desk.Names.Instructor(s.Id),
            Absence = new() { StartDate = WrittenDay.Parse(s.From), EndDate = WrittenDay.Parse(s.To ?? s.From), Reason = s.Because ?? "" },
            RequestId = s.RequestId,
        };
        await desk.PrintAsync(await desk.Server.Instructors.CreateAbsenceAsync(request, desk.Call), (absence, _) => Rows([absence]));
    }

    private static async Task AbsencesAsync(Desk desk, One s) => await desk.PrintAsync(
        await Server.ListAsync(new ListAbsencesRequest { Parent = desk.Names.Instructor(s.Id) }, desk.Server.Instructors.ListAbsencesAsync, desk.Stop),
        (all, _) => Rows(all.Absences.OrderBy(absence => Day(absence.StartDate))));

    private static async Task BackAsync(Desk desk, Back s)
    {
        var name = desk.Names.Absence(s.Id);
        await SiteRooms.GoneAsync(desk, await desk.Server.Instructors.DeleteAbsenceAsync(new() { Name = name, RequestId = s.RequestId }, desk.Call), $"Absence {ResourceNames.Brief(name)}");
    }

    private static IRenderable Rows(IEnumerable<Absence> absences) => Sheets.Rows("Never away.", ["Absence", "First day", "Last day", "Because"],
        absences.Select(absence => new Cell[] { ResourceNames.Brief(absence.Name), Shown(absence.StartDate), Shown(absence.EndDate), absence.Reason }));

    private static DateOnly Day(Date date) => new(date.Year, date.Month, date.Day);

    private static string Shown(Date date) => Day(date).ToString("ddd yyyy-MM-dd", CultureInfo.InvariantCulture);

    private abstract class Values : WriteSettings
    {
        [CommandOption("-n|--name <NAME>")]
        [Description("What people call them")]
        public string? DisplayName { get; init; }

        [CommandOption("--email <ADDRESS>")]
        public string? Email { get; init; }

        [CommandOption("--home <SITE>")]
        [Description("Where their travel is counted from")]
        public string? Home { get; init; }

        [CommandOption("--teaches <OFFERING>")]
        [Description("What they may teach; repeat for more. Takes the place of what was said before")]
        public string[] Teaches { get; init; } = [];

        [CommandOption("--days <DAYS>")]
        [Description("Days on which they may teach, for example mon-fri; every day unless told")]
        public string? Days { get; init; }

        [CommandOption("--days-a-week <NUMBER>")]
        [Description("On how many days of a week at most; 5 unless told")]
        public int? DaysAWeek { get; init; }

        [CommandOption("--farthest <SPAN>")]
        [Description("How far from home they go, one way; 1h unless told, 0min for home alone")]
        public Span? Farthest { get; init; }
    }

    private sealed class Create : Values
    {
        [CommandArgument(0, "[instructor]")]
        [Description("Their id; made up where left out")]
        public string? Id { get; init; }
    }

    private sealed class Change : Values
    {
        [CommandArgument(0, "<instructor>")]
        public required string Id { get; init; }

        [CommandOption("--teaches-nothing")]
        [Description("Takes back all that they may teach")]
        public bool TeachesNothing { get; init; }

        [CommandOption("--no-email")]
        [Description("Forgets their address")]
        public bool NoEmail { get; init; }
    }

    private sealed class Away : WriteSettings
    {
        [CommandArgument(0, "<instructor>")]
        public required string Id { get; init; }

        [CommandOption("--from <DAY>", true)]
        [Description("First day away, for example 2026-07-01")]
        public required string From { get; init; }

        [CommandOption("--to <DAY>")]
        [Description("Last day away, which counts; the same day unless told")]
        public string? To { get; init; }

        [CommandOption("--because <WORD>")]
        [Description("A word for those who plan; nothing of anybody's health")]
        public string? Because { get; init; }
    }

    private sealed class Back : WriteSettings
    {
        [CommandArgument(0, "<absence>")]
        [Description("INSTRUCTOR/ABSENCE, as instructor absences lists it")]
        public required string Id { get; init; }
    }

    private sealed class One : StudioSettings
    {
        [CommandArgument(0, "<instructor>")]
        public required string Id { get; init; }
    }
}
