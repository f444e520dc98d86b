using System.ComponentModel;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console.Cli;
using Spectre.Console.Rendering;

namespace Pourwright.Cli.Nouns;

/// <summary><c>pourwright student health, export, erase, due</c></summary>
internal static class StudentPrivacyVerbs
{
    public static async Task HealthAsync(Desk desk, Health s)
    {
        CheckSaid(s);
        var student = desk.Names.Student(s.Id);
        var note = s.Consent is null && s.Note is null
            ? await desk.Server.Privacy.GetHealthNoteAsync(new() { Student = student }, desk.Call)
            : await desk.Server.Privacy.SetHealthNoteAsync(
                new() { Student = student, Note = s.Note ?? "", Consent = s.Consent == StudentNoun.YesNo.Yes, RequestId = s.RequestId }, desk.Call);
        await desk.PrintAsync(note, (kept, clock) => Sheets.Card($"Health of {ResourceNames.Brief(student)}",
            ("Said", kept.Note.Length == 0 ? null : kept.Note),
            ("Kept", kept.ConsentTime is null ? "nothing" : $"since they agreed on {clock.At(kept.ConsentTime, null)}")));
    }

    // What is said takes the place of what is kept: half of it would forget the note of before.
    private static void CheckSaid(Health s)
    {
        var agreed = s.Consent == StudentNoun.YesNo.Yes;
        if (s.Note is { Length: > 0 } && !agreed)
            throw new UsageException("A note is kept only where the student agrees: add --consent yes. To forget the one that is kept, write --note '' or --consent no alone.");
        if (agreed && s.Note is not { Length: > 0 })
            throw new UsageException("--consent yes needs the note that they agree to: add --note TEXT, all of it, since it takes the place of the one that is kept.");
    }

    public static async Task ExportAsync(Desk desk, One s) => await desk.PrintAsync(
        await desk.Server.Privacy.ExportPersonAsync(new() { Student = desk.Names.Student(s.Id) }, desk.Call),
        (all, _) => Sheets.Stack(
        [
            StudentNoun.Card(all.Student),
            Sheets.Card("Kept besides",
                ("Health", all.HealthNote.Note.Length == 0 ? "nothing" : all.HealthNote.Note),
                ("Places", Briefs(all.Enrolments.Select(place => place.Name))),
                ("Pieces", Briefs(all.Pieces.Select(piece => piece.Name))),
                ("Links", Briefs(all.StudentLinks.Select(link => link.Name).Concat(all.CalendarLinks.Select(link => link.Name)))),
                ("Messages", $"{all.Reminders.Count}"),
                ("Recalls", Briefs(all.RecallNotices.Select(notice => notice.Name)))),
        ]));

    public static async Task EraseAsync(Desk desk, Erase s)
    {
        var request = new ErasePersonRequest { Student = desk.Names.Student(s.Id), Pieces = { s.Pieces.Select(desk.Names.Piece) }, ValidateOnly = s.Check, RequestId = s.RequestId };
        await desk.PrintAsync(await desk.Server.Privacy.ErasePersonAsync(request, desk.Call), (done, _) => Sheets.Stack(
        [
            Sheets.Card(s.Check ? "Would be forgotten" : $"Forgotten: {ResourceNames.Brief(done.Pseudonym)}",
                ("Pieces", Briefs(done.Pieces)), ("Links shut", $"{done.LinkCount}"), ("Messages deleted", $"{done.MessageCount}")),
            done.KeptPieces.Count == 0 ? null : new Cell($"Still bear the name, since they may be somebody else's: {Briefs(done.KeptPieces)}. Name the student's own with --piece.", Tone.Wait).Render(),
        ]));
    }

    public static async Task DueAsync(Desk desk, StudioSettings s) => await desk.PrintAsync(
        await Server.ListAsync(new ListErasureProposalsRequest { Parent = desk.Names.Studio }, desk.Server.Privacy.ListErasureProposalsAsync, desk.Stop),
        (all, clock) => Sheets.Rows("Nobody is due.", ["Student", "Last session", "Due since"], all.ErasureProposals.Select(one => new Cell[]
        {
            ResourceNames.Brief(one.Student), clock.At(one.LastSessionTime, null), clock.At(one.DueTime, null),
        })));

    private static string Briefs(IEnumerable<string> names) => string.Join(", ", names.Select(ResourceNames.Brief)) is { Length: > 0 } all ? all : "none";

    internal sealed class One : StudioSettings
    {
        [CommandArgument(0, "<student>")]
        public required string Id { get; init; }
    }

    internal sealed class Health : WriteSettings
    {
        [CommandArgument(0, "<student>")]
        public required string Id { get; init; }

        [CommandOption("--note <TEXT>")]
        [Description("What the student said, with --consent yes; '' to forget it")]
        public string? Note { get; init; }

        [CommandOption("--consent <YES-OR-NO>")]
        [Description("yes: the student agrees that the note is kept and read on the days of their sessions; no: forget it")]
        [TypeConverter(typeof(WordConverter<StudentNoun.YesNo>))]
        public StudentNoun.YesNo? Consent { get; init; }
    }

    internal sealed class Erase : WriteSettings
    {
        [CommandArgument(0, "<student>")]
        public required string Id { get; init; }

        [CommandOption("--piece <PIECE>")]
        [Description("A piece that is the student's though others bear the name too, once for each")]
        public string[] Pieces { get; init; } = [];

        [CommandOption("--check")]
        [Description("Only says what would be forgotten")]
        public bool Check { get; init; }
    }
}
