using System.ComponentModel;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console.Cli;
using Spectre.Console.Rendering;

namespace Pourwright.Cli.Nouns;

/// <summary><c>pourwright class ...</c></summary>
public static class ClassNoun
{
    public static void Register(Noun noun)
    {
        noun.Describe("Classes: what is asked for, when it is held, who comes, what must be ready");
        noun.Verb<Create>("create", "Asks for a class", CreateAsync,
            "class", "create", "boards", "--name", "River boards", "--offering", "river-board", "--at", "north", "--from", "2026-11-09", "--until", "2026-11-30");
        noun.Verb<Change>("change", "Changes what is given while it has no sessions, leaves the rest", ChangeAsync, "class", "change", "boards", "--seats", "6");
        noun.Verb<Filter>("list", "Lists the classes", ListAsync, "class", "list", "--state", "confirmed");
        noun.Verb<One>("show", "Shows a class with its sessions", ShowAsync);
        noun.Verb<Schedule>("schedule", "Sets all its sessions by hand, by the clock of the site; the cure is not asked", ScheduleAsync,
            "class", "schedule", "boards", "--pour", "2026-11-14 10:00", "--machine", "2026-11-22 09:00", "--instructor", "ana");
        noun.Verb<WithReason>("cancel", "Gives it up; whoever agreed to messages is told why", CancelAsync,
            "class", "cancel", "boards", "too few students");
        noun.Verb<SessionFilter>("sessions", "Lists the sessions of all classes by their start", SessionsAsync, "class", "sessions", "--instructor", "ana");
        noun.Verb<TaskFilter>("tasks", "Lists what must be ready before a pour, first due first", TasksAsync, "class", "tasks", "--class", "boards");
        noun.Verb<Done>("done", "Says that a task is done", DoneAsync, "class", "done", "boards/leak-check", "--by", "Asa");
        noun.Verb<One>("roster", "Who has a seat", RosterAsync);
        noun.Verb<One>("places", "Everybody's place: seats, offers, waiting list", PlacesAsync);
        noun.Verb<OneToWrite>("offer", "Offers a free seat to the first who waits and can come, also after moulds were due", OfferAsync);
    }

    public static IRenderable Card(CastingClass castingClass, SiteClock clock) => Sheets.Stack(
    [
        Sheets.Card($"Class {ResourceNames.Brief(castingClass.Name)}",
            ("Name", castingClass.DisplayName),
            ("State", Words.Of(castingClass.State).ToUpperInvariant()),
            ("Why", castingClass.CancelReason),
            ("Offering", ResourceNames.Brief(castingClass.Offering)),
            ("Seats", $"{castingClass.SeatCount}: {castingClass.EnrolledCount} taken, {castingClass.OfferedCount} offered, {castingClass.WaitingCount} waiting"),
            ("Pieces", $"{castingClass.PieceCount}"),
            ("Sites", string.Join(", ", castingClass.Sites.Select(ResourceNames.Brief))),
            ("Pour asked for", $"{WrittenDay.Of(castingClass.FirstDate)} to {WrittenDay.Of(castingClass.LastDate)}"),
            ("On", WeekdayWords.Of(castingClass.Weekdays)),
            ("Best on", WrittenDay.Of(castingClass.FavouriteDate))),
        SessionRows(castingClass.Sessions, clock),
        .. Cautions.Show(castingClass.Cautions),
    ]);

    public static IRenderable SessionRows(IEnumerable<Session> sessions, SiteClock clock) => Sheets.Rows("No session yet.",
        ["Session", "Begins", "Ends", "Site", "By", "State", "Why"],
        sessions.Select(session => new Cell[]
        {
            ResourceNames.Brief(session.Name), clock.At(session.StartTime, session.Site), clock.At(session.EndTime, session.Site),
            ResourceNames.Brief(session.Site), ResourceNames.Brief(session.Instructor),
            new(Words.Of(session.State).ToUpperInvariant(), session.State is Session.Types.State.Cancelled ? Tone.Faint : Tone.Plain), session.ChangeReason,
        }));

    public static IRenderable TaskRows(ListPrepTasksResponse all, SiteClock clock) => Sheets.Rows("Nothing is open.",
        ["Task", "Site", "Due", "Done", "By"],
        all.PrepTasks.Select(task => new Cell[]
        {
            ResourceNames.Brief(task.Name), ResourceNames.Brief(task.Site),
            new(clock.AtAndIn(task.DueTime, task.Site), task.CompleteTime is null && task.DueTime.ToDateTimeOffset() <= clock.Now ? Tone.Bad : Tone.Plain),
            clock.At(task.CompleteTime, task.Site), task.Worker,
        }));

    private static async Task CreateAsync(Desk desk, Create s)
    {
        var request = new CreateCastingClassRequest
        {
            Parent = desk.Names.Studio, CastingClass = Filled(desk, s), CastingClassId = s.Id, RequestId = s.RequestId,
        };
        await desk.PrintAsync(await desk.Server.Classes.CreateCastingClassAsync(request, desk.Call), Card);
    }

    private static async Task ChangeAsync(Desk desk, Change s)
    {
        var castingClass = Filled(desk, s);
        castingClass.Name = desk.Names.Class(s.Id);
        var request = new UpdateCastingClassRequest { CastingClass = castingClass, RequestId = s.RequestId };
        await desk.PrintAsync(await desk.Server.Classes.UpdateCastingClassAsync(request, desk.Call), Card);
    }

    private static CastingClass Filled(Desk desk, Values s)
    {
        var castingClass = new CastingClass
        {
            DisplayName = s.DisplayName ?? "",
            Offering = s.Offering is { } offering ? desk.Names.Offering(offering) : "",
            Sites = { s.Sites.Select(desk.Names.Site) },
            FirstDate = WrittenDay.ParseOrNone(s.From),
            LastDate = WrittenDay.ParseOrNone(s.Until),
            Weekdays = { s.Days is null ? [] : WeekdayWords.Parse(s.Days) },
            FavouriteDate = WrittenDay.ParseOrNone(s.Best),
        };
        if (s.Seats is { } seats)
            castingClass.SeatCount = seats;
        if (s.Pieces is { } pieces)
            castingClass.PieceCount = pieces;
        return castingClass;
    }

    private static async Task ListAsync(Desk desk, Filter s)
    {
        var request = new ListCastingClassesRequest
        {
            Parent = desk.Names.Studio, State = s.State, StartDate = WrittenDay.ParseOrNone(s.From), EndDate = WrittenDay.ParseOrNone(s.Until),
        };
        var all = await Server.ListAsync(request, desk.Server.Classes.ListCastingClassesAsync, desk.Stop);
        await desk.PrintAsync(all, (classes, clock) => Sheets.Rows("No class.", ["Class", "Name", "State", "Pour", "Site", "Seats taken", "Waiting"],
            classes.CastingClasses.Select(castingClass => Row(castingClass, clock))));
    }

    private static Cell[] Row(CastingClass castingClass, SiteClock clock)
    {
        var pour = castingClass.Sessions.FirstOrDefault(session => session is { Kind: Session.Types.Kind.Pour, State: not Session.Types.State.Cancelled });
        return
        [
            ResourceNames.Brief(castingClass.Name), castingClass.DisplayName, Words.Of(castingClass.State).ToUpperInvariant(),
            pour is null ? $"{WrittenDay.Of(castingClass.FirstDate)} to {WrittenDay.Of(castingClass.LastDate)}" : clock.At(pour.StartTime, pour.Site),
            ResourceNames.Brief(pour?.Site ?? castingClass.Sites[0]), $"{castingClass.EnrolledCount} of {castingClass.SeatCount}", $"{castingClass.WaitingCount}",
        ];
    }

    private static async Task ShowAsync(Desk desk, One s) =>
        await desk.PrintAsync(await desk.Server.Classes.GetCastingClassAsync(new() { Name = desk.Names.Class(s.Id) }, desk.Call), Card);

    private static async Task ScheduleAsync(Desk desk, Schedule s)
    {
        var site = await desk.SiteAsync();
        SessionTime Read(string text, Session.Types.Kind kind) => WrittenSession.Parse(text, kind, desk.Names, site, s.Instructor, s.Fold);
        var request = new ScheduleSessionsRequest
        {
            Name = desk.Names.Class(s.Id),
            Sessions = { Read(s.Pour, Session.Types.Kind.Pour), Read(s.Machine, Session.Types.Kind.Machine) },
            Reason = s.Reason ?? "",
            ValidateOnly = s.Check,
            RequestId = s.Check ? "" : s.RequestId,
        };
        if (s.Finish is { } finish)
            request.Sessions.Add(Read(finish, Session.Types.Kind.Finish));
        await desk.PrintAsync(await desk.Server.Classes.ScheduleSessionsAsync(request, desk.Call), Card);
    }

    private static async Task CancelAsync(Desk desk, WithReason s)
    {
        var request = new CancelCastingClassRequest { Name = desk.Names.Class(s.Id), Reason = s.Reason, RequestId = s.RequestId };
        await desk.PrintAsync(await desk.Server.Classes.CancelCastingClassAsync(request, desk.Call), Card);
    }

    private static async Task SessionsAsync(Desk desk, SessionFilter s)
    {
        var request = new ListSessionsRequest
        {
            Parent = desk.Names.Studio,
            Site = desk.SiteFilter,
            Instructor = s.Instructor is { } who ? desk.Names.Instructor(who) : "",
            StartTime = await desk.BoundAsync(s.From, WhenSense.Planned),
            EndTime = await desk.BoundAsync(s.Until, WhenSense.Planned),
        };
        await desk.PrintAsync(await Server.ListAsync(request, desk.Server.Classes.ListSessionsAsync, desk.Stop),
            (all, clock) => SessionRows(all.Sessions, clock));
    }

    private static async Task TasksAsync(Desk desk, TaskFilter s)
    {
        var request = new ListPrepTasksRequest
        {
            Parent = desk.Names.Studio, Site = desk.SiteFilter, CastingClass = s.Class is { } id ? desk.Names.Class(id) : "", IncludeDone = s.All,
        };
        await desk.PrintAsync(await Server.ListAsync(request, desk.Server.Classes.ListPrepTasksAsync, desk.Stop), TaskRows);
    }

    private static async Task DoneAsync(Desk desk, Done s)
    {
        var request = new CompletePrepTaskRequest
        {
            Name = desk.Names.Task(s.Id), Worker = s.Person, CompleteTime = await desk.WhenAsync(s.At, WhenSense.Happened), RequestId = s.RequestId,
        };
        await desk.PrintAsync(await desk.Server.Classes.CompletePrepTaskAsync(request, desk.Call),
            (task, clock) => TaskRows(new() { PrepTasks = { task } }, clock));
    }

    private static Task RosterAsync(Desk desk, One s) => EnrolmentsAsync(desk, s.Id, Enrolment.Types.State.Enrolled);

    private static Task PlacesAsync(Desk desk, One s) => EnrolmentsAsync(desk, s.Id, Enrolment.Types.State.Unspecified);

    private static async Task EnrolmentsAsync(Desk desk, string id, Enrolment.Types.State state) => await desk.PrintAsync(
        await Server.ListAsync(new ListEnrolmentsRequest { Parent = desk.Names.Class(id), State = state }, desk.Server.Students.ListEnrolmentsAsync, desk.Stop),
        StudentNoun.EnrolmentRows);

    private static async Task OfferAsync(Desk desk, OneToWrite s)
    {
        var request = new OfferSeatRequest { Name = desk.Names.Class(s.Id), RequestId = s.RequestId };
        await desk.PrintAsync(await desk.Server.Students.OfferSeatAsync(request, desk.Call), StudentNoun.EnrolmentCard);
    }

    private abstract class Values : WriteSettings
    {
        [CommandOption("-n|--name <NAME>")]
        [Description("What people call it")]
        public string? DisplayName { get; init; }

        [CommandOption("-o|--offering <OFFERING>")]
        [Description("What is taught")]
        public string? Offering { get; init; }

        [CommandOption("--at <SITE>")]
        [Description("Where it may be held; repeat for more, the one liked best first")]
        public string[] Sites { get; init; } = [];

        [CommandOption("--from <DAY>")]
        [Description("First day on which the pour may lie, for example 2026-11-09")]
        public string? From { get; init; }

        [CommandOption("--until <DAY>")]
        [Description("Last day on which the pour may lie")]
        public string? Until { get; init; }

        [CommandOption("--days <DAYS>")]
        [Description("Weekdays on which its sessions may lie, for example sat,sun or mon-fri; any unless told")]
        public string? Days { get; init; }

        [CommandOption("--best <DAY>")]
        [Description("The pour day that would suit best")]
        public string? Best { get; init; }

        [CommandOption("--seats <COUNT>")]
        [Description("Students; as the offering says unless told")]
        public int? Seats { get; init; }

        [CommandOption("--pieces <COUNT>")]
        [Description("Pieces that cure, spares among them")]
        public int? Pieces { get; init; }
    }

    private sealed class Create : Values
    {
        [CommandArgument(0, "<class>")]
        [Description("Its id: lower-case letters, digits and hyphens")]
        public required string Id { get; init; }
    }

    private sealed class Change : Values
    {
        [CommandArgument(0, "<class>")]
        public required string Id { get; init; }
    }

    private sealed class Filter : StudioSettings
    {
        [CommandOption("--state <STATE>")]
        [Description("requested, confirmed, done or cancelled; all unless told")]
        [TypeConverter(typeof(WordConverter<CastingClass.Types.State>))]
        public CastingClass.Types.State State { get; init; }

        [CommandOption("--from <DAY>")]
        [Description("Only those that touch this day or a later one")]
        public string? From { get; init; }

        [CommandOption("--until <DAY>")]
        [Description("Only those that touch this day or an earlier one")]
        public string? Until { get; init; }
    }

    private sealed class One : StudioSettings
    {
        [CommandArgument(0, "<class>")]
        public required string Id { get; init; }
    }

    private sealed class OneToWrite : WriteSettings
    {
        [CommandArgument(0, "<class>")]
        public required string Id { get; init; }
    }

    private sealed class WithReason : WriteSettings
    {
        [CommandArgument(0, "<class>")]
        public required string Id { get; init; }

        [CommandArgument(1, "<reason>")]
        [Description("Why, as students read it")]
        public required string Reason { get; init; }
    }

    private sealed class Schedule : WriteSettings
    {
        [CommandArgument(0, "<class>")]
        public required string Id { get; init; }

        [CommandOption("--pour <TIME>", true)]
        [Description("Local time at the site: '2026-11-14 10:00'; where it differs add 'by INSTRUCTOR', 'at SITE', 'for 5h'")]
        public required string Pour { get; init; }

        [CommandOption("--machine <TIME>", true)]
        [Description("The machine day, likewise")]
        public required string Machine { get; init; }

        [CommandOption("--finish <TIME>")]
        [Description("The day of oil or varnish, likewise, where there is one")]
        public string? Finish { get; init; }

        [CommandOption("-i|--instructor <INSTRUCTOR>")]
        [Description("Who teaches")]
        public string? Instructor { get; init; }

        [CommandOption("--fold <WHICH>")]
        [Description("earlier or later, where clocks show a time twice")]
        [TypeConverter(typeof(WordConverter<Fold>))]
        public Fold Fold { get; init; }

        [CommandOption("--reason <TEXT>")]
        [Description("Why dates change that people know")]
        public string? Reason { get; init; }

        [CommandOption("--check")]
        [Description("Show what would come of it; nothing is kept")]
        public bool Check { get; init; }
    }

    private sealed class SessionFilter : StudioSettings
    {
        [CommandOption("-i|--instructor <INSTRUCTOR>")]
        [Description("Only those taught by this person")]
        public string? Instructor { get; init; }

        [CommandOption("--from <TIME>")]
        [Description("Only those that begin then or later")]
        public string? From { get; init; }

        [CommandOption("--until <TIME>")]
        [Description("Only those that begin before")]
        public string? Until { get; init; }
    }

    private sealed class TaskFilter : StudioSettings
    {
        [CommandOption("--class <CLASS>")]
        [Description("Only those of this class")]
        public string? Class { get; init; }

        [CommandOption("--all")]
        [Description("Those that are done, too")]
        public bool All { get; init; }
    }

    private sealed class Done : PersonSettings
    {
        [CommandArgument(0, "<task>")]
        [Description("Class and task: boards/mould-build, leak-check, wood-metering, lots-warmed")]
        public required string Id { get; init; }

        [CommandOption("--at <TIME>")]
        [Description("When; now unless told")]
        public string? At { get; init; }
    }
}
