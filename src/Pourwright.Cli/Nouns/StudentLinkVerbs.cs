using System.ComponentModel;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console.Cli;
using Spectre.Console.Rendering;

namespace Pourwright.Cli.Nouns;

/// <summary><c>pourwright student link, links, unlink</c></summary>
internal static class StudentLinkVerbs
{
    public static async Task MakeAsync(Desk desk, Make s)
    {
        var link = new StudentLink { ExpireTime = await desk.BoundAsync(s.Until, WhenSense.Planned), Student = s.Student is null ? "" : desk.Names.Student(s.Student) };
        switch (s.Place, s.Piece)
        {
            case ({ } place, null): link.Enrolment = desk.Names.Enrolment(place); break;
            case (null, { } piece): link.Piece = desk.Names.Piece(piece); break;
            default: throw new UsageException("Say what it shows: a place such as boards/place-1, or --piece PIECE.");
        }
        var request = new CreateStudentLinkRequest { Parent = desk.Names.Studio, StudentLink = link, RequestId = s.RequestId };
        await desk.PrintAsync(await desk.Server.StudentLinks.CreateStudentLinkAsync(request, desk.Call), Card);
    }

    public static async Task ListAsync(Desk desk, StudioSettings s) => await desk.PrintAsync(
        await Server.ListAsync(new ListStudentLinksRequest { Parent = desk.Names.Studio }, desk.Server.StudentLinks.ListStudentLinksAsync, desk.Stop), Rows);

    public static async Task ShutAsync(Desk desk, Shut s) => await desk.PrintAsync(
        await desk.Server.StudentLinks.RevokeStudentLinkAsync(new() { Name = desk.Names.StudentLink(s.Id), RequestId = s.RequestId }, desk.Call), Card);

    private static IRenderable Card(StudentLink link, SiteClock clock) => Sheets.Stack(
    [
        Sheets.Card($"Student link {ResourceNames.Brief(link.Name)}",
        [
            ("Shows", Shown(link)),
            ("Given to", link.Student.Length == 0 ? null : ResourceNames.Brief(link.Student)),
            ("Made", clock.At(link.CreateTime, null)),
            ("Expires", clock.At(link.ExpireTime, null)),
            ("Revoked", clock.At(link.RevokeTime, null)),
            ("Page", link.PagePath.Length == 0 ? null : $"http://HOST:5081{link.PagePath}"),
            ("Keep it", link.PagePath.Length == 0 ? null : "This address is shown once. Whoever has it sees the same: give it to one student, and shut it when it went astray."),
        ]),
        .. Cautions.Show(link.Cautions),
    ]);

    private static IRenderable Rows(ListStudentLinksResponse all, SiteClock clock) => Sheets.Rows("No link.",
        ["Link", "Shows", "Given to", "Made", "Stands"],
        all.StudentLinks.Select(link => new Cell[]
        {
            ResourceNames.Brief(link.Name), Shown(link), ResourceNames.Brief(link.Student), clock.At(link.CreateTime, null), Standing(link, clock),
        }));

    private static string Shown(StudentLink link) =>
        link.ScopeCase == StudentLink.ScopeOneofCase.Piece ? $"piece {ResourceNames.Brief(link.Piece)}" : $"place {ResourceNames.Brief(link.Enrolment)}";

    private static Cell Standing(StudentLink link, SiteClock clock) => (link.RevokeTime, link.ExpireTime) switch
    {
        ({ } revoked, _) => new($"REVOKED {clock.At(revoked, null)}", Tone.Bad),
        (_, { } expires) when expires.ToDateTimeOffset() <= clock.Now => new($"EXPIRED {clock.At(expires, null)}", Tone.Bad),
        (_, { } expires) => new($"OPEN until {clock.At(expires, null)}", Tone.Good),
        _ => new("OPEN", Tone.Good),
    };

    internal sealed class Make : WriteSettings
    {
        [CommandArgument(0, "[place]")]
        [Description("Class and place, as the roster shows it: boards/place-1")]
        public string? Place { get; init; }

        [CommandOption("--piece <PIECE>")]
        [Description("One piece instead")]
        public string? Piece { get; init; }

        [CommandOption("--student <STUDENT>")]
        [Description("Whom the link of a piece is given to")]
        public string? Student { get; init; }

        [CommandOption("--until <TIME>")]
        [Description("When it expires; some weeks after the last session unless told")]
        public string? Until { get; init; }
    }

    internal sealed class Shut : WriteSettings
    {
        [CommandArgument(0, "<link>")]
        public required string Id { get; init; }
    }
}
