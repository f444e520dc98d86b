using System.ComponentModel;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console.Cli;
using Spectre.Console.Rendering;

namespace Pourwright.Cli.Nouns;

/// <summary><c>pourwright calendar ...</c></summary>
public static class CalendarNoun
{
    public static void Register(Noun noun)
    {
        noun.Describe("Links to calendar feeds, and invitations");
        noun.Verb<Open>("open", "Opens a link to the feed of --site, --instructor or --student; its address is shown this once", OpenAsync,
            "calendar", "open", "--instructor", "ivo", "--name", "Ivo's phone");
        noun.Verb<StudioSettings>("list", "Lists the links, revoked ones too", ListAsync);
        noun.Verb<Revoke>("revoke", "Shuts a link for good", RevokeAsync, "calendar", "revoke", "calendarlink-7k3f-9qtm");
        noun.Verb<Invite>("invite", "Writes a session into a file to mail to one person", InviteAsync,
            "calendar", "invite", "trays-1/pour", "--student", "mia", "--to", "mia.ics");
    }

    public static IRenderable Card(CalendarLink link, SiteClock clock) => Sheets.Card($"Calendar link {ResourceNames.Brief(link.Name)}",
    [
        ("Of", Subject(link)),
        ("Held by", link.DisplayName),
        ("Opened", clock.At(link.CreateTime, null)),
        ("Expires", clock.At(link.ExpireTime, null)),
        ("Revoked", clock.At(link.RevokeTime, null)),
        ("Feed", link.FeedPath.Length == 0 ? null : $"http://HOST:5081{link.FeedPath}"),
        ("Keep it", link.FeedPath.Length == 0 ? null : "This address is shown once. Whoever has it reads the feed: give it to one person, and revoke it when it went astray."),
    ]);

    public static IRenderable Rows(ListCalendarLinksResponse all, SiteClock clock) => Sheets.Rows("No link.",
        ["Link", "Of", "Held by", "Opened", "Stands"],
        all.CalendarLinks.Select(link => new Cell[]
        {
            ResourceNames.Brief(link.Name), Subject(link), link.DisplayName, clock.At(link.CreateTime, null), Standing(link, clock),
        }));

    private static string Subject(CalendarLink link) => link.SubjectCase switch
    {
        CalendarLink.SubjectOneofCase.Site => $"site {ResourceNames.Brief(link.Site)}",
        CalendarLink.SubjectOneofCase.Instructor => $"instructor {ResourceNames.Brief(link.Instructor)}",
        _ => $"student {ResourceNames.Brief(link.Student)}",
    };

    private static Cell Standing(CalendarLink link, SiteClock clock) => (link.RevokeTime, link.ExpireTime) switch
    {
        ({ } revoked, _) => new($"REVOKED {clock.At(revoked, null)}", Tone.Bad),
        (_, { } expires) when expires.ToDateTimeOffset() <= clock.Now => new($"EXPIRED {clock.At(expires, null)}", Tone.Bad),
        (_, { } expires) => new($"OPEN until {clock.At(expires, null)}", Tone.Good),
        _ => new("OPEN", Tone.Good),
    };

    private static async Task OpenAsync(Desk desk, Open s)
    {
        var link = new CalendarLink { DisplayName = s.DisplayName ?? "", ExpireTime = await desk.BoundAsync(s.Until, WhenSense.Planned) };
        switch (s.Instructor, s.Student, s.Site)
        {
            case ({ } instructor, null, null): link.Instructor = desk.Names.Instructor(instructor); break;
            case (null, { } student, null): link.Student = desk.Names.Student(student); break;
            case (null, null, { } site): link.Site = desk.Names.Site(site); break;
            default: throw new UsageException("Say whose calendar: one of --site, --instructor and --student.");
        }
        var request = new CreateCalendarLinkRequest
        {
            Parent = desk.Names.Studio, CalendarLink = link, CalendarLinkId = s.Id ?? "", RequestId = s.RequestId,
        };
        await desk.PrintAsync(await desk.Server.Calendars.CreateCalendarLinkAsync(request, desk.Call), Card);
    }

    private static async Task ListAsync(Desk desk, StudioSettings s) => await desk.PrintAsync(
        await Server.ListAsync(new ListCalendarLinksRequest { Parent = desk.Names.Studio, Subject = desk.WrittenSiteFilter },
            desk.Server.Calendars.ListCalendarLinksAsync, desk.Stop),
        Rows);

    private static async Task RevokeAsync(Desk desk, Revoke s) => await desk.PrintAsync(
        await desk.Server.Calendars.RevokeCalendarLinkAsync(new() { Name = desk.Names.CalendarLink(s.Id), RequestId = s.RequestId }, desk.Call), Card);

    private static async Task InviteAsync(Desk desk, Invite s)
    {
        var request = new GetSessionInvitationRequest { Name = desk.Names.Session(s.Session) };
        switch (s.Instructor, s.Student)
        {
            case ({ } instructor, null): request.Instructor = desk.Names.Instructor(instructor); break;
            case (null, { } student): request.Student = desk.Names.Student(student); break;
            default: throw new UsageException("Say for whom: one of --instructor and --student.");
        }
        var invitation = await desk.Server.Calendars.GetSessionInvitationAsync(request, desk.Call);
        await File.WriteAllBytesAsync(s.Path, invitation.Data.Memory, desk.Stop);
        desk.Output.Say($"Wrote {s.Path}: send it as {invitation.ContentType}.");
    }

    private sealed class Open : WriteSettings
    {
        [CommandOption("--instructor <INSTRUCTOR>")]
        [Description("What this instructor teaches")]
        public string? Instructor { get; init; }

        [CommandOption("--student <STUDENT>")]
        [Description("Classes in which this student has a seat")]
        public string? Student { get; init; }

        [CommandOption("-n|--name <TEXT>")]
        [Description("Who has the link")]
        public string? DisplayName { get; init; }

        [CommandOption("--until <TIME>")]
        [Description("When it expires; never unless told")]
        public string? Until { get; init; }

        [CommandOption("--id <ID>")]
        [Description("Its id; made up unless told")]
        public string? Id { get; init; }
    }

    private sealed class Revoke : WriteSettings
    {
        [CommandArgument(0, "<link>")]
        public required string Id { get; init; }
    }

    private sealed class Invite : StudioSettings
    {
        [CommandArgument(0, "<class/session>")]
        public required string Session { get; init; }

        [CommandOption("--instructor <INSTRUCTOR>")]
        [Description("Who teaches it, or did")]
        public string? Instructor { get; init; }

        [CommandOption("--student <STUDENT>")]
        [Description("Who has a seat, or had")]
        public string? Student { get; init; }

        [CommandOption("--to <FILE>")]
        [Description("The file to write, such as mia.ics")]
        public string? To { get; init; }

        public string Path => To ?? throw new UsageException("Say where to write it: --to FILE.");
    }
}
