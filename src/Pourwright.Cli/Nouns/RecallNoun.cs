using System.ComponentModel;
using System.Globalization;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console.Cli;
using Spectre.Console.Rendering;
using Answer = Pourwright.V1.RecallNotice.Types.Answer;
using Where = Pourwright.V1.RecallPiece.Types.Where;

namespace Pourwright.Cli.Nouns;

/// <summary><c>pourwright recall ...</c></summary>
public static class RecallNoun
{
    public static void Register(Noun noun)
    {
        noun.Describe("Find, hold and tell: everything and everyone that a lot, a can, a mix, a piece or a day may concern");
        noun.Verb<Start>("start", "Starts a recall: lists, holds, and tells everyone", StartAsync,
            "recall", "start", "--lot", "lot-b7", "--reason", "soft pieces in two classes", "--by", "ana");
        noun.Verb<One>("show", "Shows a recall: what to do next, pieces, stock, people", ShowAsync);
        noun.Verb<StudioSettings>("list", "Lists recalls and drills", ListAsync);
        noun.Verb<Acknowledge>("ack", "Records what a person answered", AcknowledgeAsync,
            "recall", "ack", "recall-1/notice-4", "returned", "--note", "soft at one edge", "--by", "ana");
        noun.Verb<Close>("close", "Closes a recall with its outcome", CloseAsync,
            "recall", "close", "recall-1", "all pieces hard, lot released", "--release", "--gap", "two phone numbers were wrong", "--by", "ana");
        noun.Verb<Print>("print", "Prints a recall or a drill: text, or a PDF or JSON file", PrintAsync, "recall", "print", "recall-1", "--to", "recall-1.pdf");
    }

    public static IRenderable Card(Recall recall, SiteClock clock) => Sheets.Stack(
    [
        Sheets.Card($"{(recall.Drill ? "Drill" : "Recall")} {Brief(recall.Name)}: {ScopeOf(recall.Scope)}",
            ("State", recall.Outcome.Length > 0 ? new("CLOSED", Tone.Good) : recall.Drill ? "DRILL" : new Cell("OPEN", Tone.Bad)),
            ("Outcome", recall.Outcome),
            ("Why", recall.Reason),
            ("Started", $"{clock.At(recall.Status.StartTime, null)} by {recall.Starter}"),
            ("List complete", After(recall.Status.ListTime, recall.Status)),
            ("All held", After(recall.Status.HoldTime, recall.Status)),
            ("All told", recall.Drill ? null : After(recall.Status.TellTime, recall.Status) ?? "not yet"),
            ("All answered", recall.Drill ? null : After(recall.Status.AnswerTime, recall.Status) ?? "not yet"),
            ("Pieces", $"{recall.Status.PieceCount}, {recall.Status.HandedOverCount} of them with their makers{(recall.Status.HandedOverSinceCount > 0 ? $", {recall.Status.HandedOverSinceCount} more since" : "")}"),
            ("Stock", new Mass(recall.Status.StockMassMg).ToString()),
            ("People", recall.Drill
                ? $"{recall.Status.PersonCount} would be told, {recall.Status.ReachableCount} of them can be written to"
                : $"{recall.Status.PersonCount} to tell, {recall.Status.ToldCount} told, {recall.Status.AnsweredCount} answered, {recall.Status.ReachedCount} of these reached")),
        recall.List is null ? null : Lists(recall.List),
        recall.List is null || recall.Notices.Count == 0 ? null : People(recall),
        .. recall.Gaps.Select(gap => new Cell($"GAP: {gap}", Tone.Wait).Render()),
        recall.List is null ? null : new Cell(Next(recall), Tone.Strong).Render(),
    ]);

    public static IRenderable Rows(ListRecallsResponse all, SiteClock clock) => Sheets.Rows("No recall and no drill.",
        ["Recall", "What", "State", "Started", "Pieces", "Told", "Answered"],
        all.Recalls.Select(recall => new Cell[]
        {
            new(Brief(recall.Name), Tone.Strong), $"{(recall.Drill ? "drill, " : "")}{ScopeOf(recall.Scope)}",
            recall.Outcome.Length > 0 ? new("CLOSED", Tone.Good) : recall.Drill ? "DRILL" : new Cell("OPEN", Tone.Bad),
            clock.At(recall.Status.StartTime, null), $"{recall.Status.PieceCount}",
            recall.Drill ? "" : $"{recall.Status.ToldCount} of {recall.Status.PersonCount}",
            recall.Drill ? "" : $"{recall.Status.AnsweredCount} of {recall.Status.PersonCount}",
        }));

    public static IRenderable Lists(RecallList list) => Sheets.Stack(
        Sheets.Rows("No piece.", ["Piece", "Label", "Where", "Who has it", "Held"], list.Pieces.Select(piece => new Cell[]
        {
            Brief(piece.Piece), new(piece.Label, Tone.Strong),
            new($"{Words.Of(piece.Where).ToUpperInvariant()}{(piece.FoundWhere == Where.Unspecified ? "" : $" (when listed: {Words.Of(piece.FoundWhere)})")}", piece.Where == Where.HandedOver ? Tone.Bad : Tone.Plain), piece.Holder,
            Held(piece.Held, piece.Where is not (Where.HandedOver or Where.Scrapped), piece.Joined),
        })),
        list.Stock.Count == 0 ? new Cell("No stock to hold.").Render() : Sheets.Rows("", ["Can", "Stands at", "Part", "Left", "Held"], list.Stock.Select(stock => new Cell[]
        {
            new(Brief(stock.Container), Tone.Strong), Brief(stock.Site), Words.Of(stock.Part).ToUpperInvariant(), new Mass(stock.RemainingMassMg).ToString(),
            Held(stock.Held, true, stock.Joined),
        })),
        list.OpenMixes.Count == 0 ? null : Sheets.Rows("", ["In the bucket", "At", "Left: do not pour it"], list.OpenMixes.Select(mix => new Cell[]
        {
            new(Brief(mix.Mix), Tone.Strong), Brief(mix.Site), new Mass(mix.RemainingMassMg).ToString(),
        })));

    /// <summary>A balance, with its sign and what weighing leaves open.</summary>
    public static IRenderable Balance(Reconciliation balance, SiteClock clock) => Sheets.Stack(
    [
        Sheets.Card($"Masses of {Brief(balance.Name)}",
            ("Received", new Mass(balance.ReceivedMassMg).ToString()),
            ("Used", new Mass(balance.UsedMassMg).ToString()),
            ("Left", balance.HasLeftMassMg ? new Mass(balance.LeftMassMg).ToString() : "not counted"),
            ("Thrown away", new Mass(balance.WasteMassMg).ToString()),
            ("Unexplained", balance.HasUnexplainedMassMg ? $"{(balance.UnexplainedMassMg > 0 ? "+" : "")}{new Mass(balance.UnexplainedMassMg)} (+ is missing, - is too much)" : "unknown"),
            ("Weighing leaves open", $"{new Mass(balance.ToleranceMassMg)}: {balance.WeighingCount} weighings to {new Mass(balance.ResolutionMassMg)}"
                + (balance.PotResidueMassMg > 0 ? $", {balance.PotCount} pots that keep {new Mass(balance.PotResidueMassMg)}" : "")),
            ("It", balance.Closure switch
            {
                Reconciliation.Types.Closure.Closes => new("CLOSES", Tone.Good),
                Reconciliation.Types.Closure.Missing => new("DOES NOT CLOSE: missing", Tone.Bad),
                Reconciliation.Types.Closure.TooMuch => new("DOES NOT CLOSE: too much", Tone.Bad),
                _ => new Cell("cannot be said: not counted", Tone.Wait),
            })),
        .. balance.Unknowns.Select(unknown => new Cell(unknown, Tone.Wait).Render()),
    ]);

    /// <summary>Reconciles a lot, a container or a mix.</summary>
    public static async Task ReconcileAsync(Desk desk, string name) =>
        await desk.PrintAsync(await desk.Server.Recalls.GetReconciliationAsync(new() { Name = name }, desk.Call), Balance);

    /// <summary>Saves a page by the ending of its file, or shows it.</summary>
    public static async Task SaveAsync(Desk desk, string name, string? path)
    {
        var format = path is null ? PrintTraceRequest.Types.Format.Text : FormatOf(path);
        await TraceOutput.PrintAsync(desk, await desk.Server.Recalls.PrintRecallAsync(new() { Name = name, Format = format }, desk.Call), path);
    }

    /// <summary>Asks whether <see cref="SaveAsync"/> can save there.</summary>
    /// <exception cref="UsageException">The file's ending names no kind of page.</exception>
    public static void CheckSavable(string path)
    {
        FormatOf(path);
        TraceOutput.CheckWritable(path);
    }

    private static PrintTraceRequest.Types.Format FormatOf(string path) => Path.GetExtension(path).ToLowerInvariant() switch
    {
        ".pdf" => PrintTraceRequest.Types.Format.Pdf,
        ".json" => PrintTraceRequest.Types.Format.Json,
        ".txt" => PrintTraceRequest.Types.Format.Text,
        _ => throw new UsageException($"'{path}' names no kind of page: let the file end in .pdf, .json or .txt."),
    };

    private static IRenderable People(Recall recall)
    {
        var labels = recall.List.Pieces.ToDictionary(piece => piece.Piece, piece => piece.Label);
        return Sheets.Rows("", ["Notice", "Who", "Pieces", "Told", "Answer"], recall.Notices.Select(notice => new Cell[]
        {
            Brief(notice.Name), $"{(notice.Person.Length == 0 ? "maker not known" : notice.Person)}{(notice.Role == RecallNotice.Types.Role.Contact ? ", contact" : "")}",
            string.Join(", ", notice.Pieces.Select(piece => labels.GetValueOrDefault(piece, Brief(piece)))), Told(recall, notice), Of(notice),
        }));
    }

    private static Cell Told(Recall recall, RecallNotice notice) => notice switch
    {
        { Reachable: false } => new Cell($"CANNOT BE WRITTEN TO: {notice.Obstacle}", Tone.Bad),
        _ when recall.Drill => "would be",
        { HandOverTime: not null } => new Cell("NO ANSWER: the owner calls or visits", Tone.Bad),
        { TellTime: null } => new Cell("waits to go out", Tone.Wait),
        { ChaseCount: > 0 } => $"yes, asked again {notice.ChaseCount}x",
        _ => "yes",
    };

    private static Cell Of(RecallNotice notice) => notice.Answer switch
    {
        Answer.Returned => new Cell($"RETURNED {notice.Note}".Trim(), Tone.Good),
        Answer.Kept => new Cell($"KNOWS, KEEPS IT {notice.Note}".Trim(), Tone.Good),
        Answer.NotReached => new Cell($"NOT REACHED {notice.Note}".Trim(), Tone.Bad),
        _ => "",
    };

    private static Cell Held(bool held, bool can, bool joined) => (held, can, joined) switch
    {
        (_, _, true) => new Cell("JOINED SINCE: hold it and tell its maker by hand", Tone.Bad),
        (true, true, _) => new Cell("HELD", Tone.Good),
        (false, true, _) => new Cell("NOT HELD", Tone.Wait),
        _ => "",
    };

    /// <summary>The one thing to do now, for somebody who was woken for it.</summary>
    private static string Next(Recall recall) => recall switch
    {
        { Drill: true } => $"Nobody was told, nothing is held. The certificate: pourwright recall print {Brief(recall.Name)} --to certificate.pdf",
        { Outcome.Length: > 0 } => "It is closed.",
        { Status.HandedOverSinceCount: > 0 } => "Next: pieces left the house since the list was made, and their makers were told that these stay. Call or visit them. Look above for (when listed: ...).",
        { Status.JoinedCount: > 0 } => "Next: hold what has joined since, and tell its makers. Look above for JOINED SINCE.",
        _ when recall.Notices.Any(notice => !notice.Reachable && notice.Answer == Answer.Unspecified) =>
            $"Next: set the held cans and pieces apart and label them. Then call or visit those who cannot be written to, and record each: pourwright recall ack {Brief(recall.Name)}/NOTICE kept --by YOU",
        { Status: var status } when status.AnsweredCount < status.PersonCount =>
            $"Next: set the held cans and pieces apart and label them. Letters go out by themselves, and again after a day and after three. Record answers: pourwright recall ack {Brief(recall.Name)}/NOTICE kept --by YOU",
        _ => $"Everybody answered. When the cause is settled: pourwright recall close {Brief(recall.Name)} 'OUTCOME' --by YOU, with --release to let go what is held.",
    };

    private static string? After(Google.Protobuf.WellKnownTypes.Timestamp? time, RecallStatus status) => time is null ? null
        : (time.ToDateTimeOffset() - status.StartTime.ToDateTimeOffset()) is var span && span.TotalSeconds < 60
            ? string.Create(CultureInfo.InvariantCulture, $"{span.TotalSeconds:0.0} s after the start") : $"{new Span(span)} after the start";

    private static string ScopeOf(RecallScope scope) =>
        scope.Date is { } day ? $"all of {Brief(scope.Name)} on {day.Year:0000}-{day.Month:00}-{day.Day:00}" : Brief(scope.Name);

    private static string Brief(string name) => ResourceNames.Brief(name);

    private static async Task StartAsync(Desk desk, Start s)
    {
        var request = new StartRecallRequest
        {
            Parent = desk.Names.Studio,
            Scope = await s.ScopeAsync(desk) ?? throw new UsageException("Recall what? Write --lot, --can, --mix, --piece or --day."),
            Reason = s.Reason, Starter = s.Person, RecallId = s.Id ?? "", RequestId = s.RequestId, ValidateOnly = s.DryRun,
        };
        await desk.PrintAsync(await desk.Server.Recalls.StartRecallAsync(request, desk.Call), Card);
        if (s.DryRun) desk.Output.Say(new Cell("DRY RUN: nothing was started, held or said.", Tone.Strong));
    }

    private static async Task ShowAsync(Desk desk, One s) =>
        await desk.PrintAsync(await desk.Server.Recalls.GetRecallAsync(new() { Name = desk.Names.Recall(s.Id) }, desk.Call), Card);

    private static async Task ListAsync(Desk desk, StudioSettings s) => await desk.PrintAsync(
        await Server.ListAsync(new ListRecallsRequest { Parent = desk.Names.Studio }, desk.Server.Recalls.ListRecallsAsync, desk.Stop), Rows);

    private static async Task AcknowledgeAsync(Desk desk, Acknowledge s)
    {
        var request = new AcknowledgeRecallNoticeRequest
        {
            Name = desk.Names.RecallNotice(s.Notice), Answer = s.Answer, Person = s.Person, Note = s.Note ?? "", RequestId = s.RequestId,
        };
        var notice = await desk.Server.Recalls.AcknowledgeRecallNoticeAsync(request, desk.Call);
        await desk.PrintAsync(notice, (told, _) => Sheets.Card($"Notice {Brief(told.Name)}",
            ("Who", told.Person), ("Answer", Of(told)), ("Recorded by", told.Answerer)));
    }

    private static async Task CloseAsync(Desk desk, Close s)
    {
        var request = new CloseRecallRequest
        {
            Name = desk.Names.Recall(s.Id), Outcome = s.Outcome, Gaps = { s.Gaps }, Closer = s.Person, Release = s.Release, RequestId = s.RequestId,
        };
        await desk.PrintAsync(await desk.Server.Recalls.CloseRecallAsync(request, desk.Call), Card);
    }

    private static Task PrintAsync(Desk desk, Print s) => SaveAsync(desk, desk.Names.Recall(s.Id), s.To);

    /// <summary>Where a list begins.</summary>
    public class ScopeSettings : PersonSettings
    {
        [CommandOption("--lot <LOT>")]
        [Description("All that holds some of this lot, through tanks and decants too")]
        public string? Lot { get; init; }

        [CommandOption("--can <CONTAINER>")]
        [Description("All that something of this container reached")]
        public string? Can { get; init; }

        [CommandOption("--mix <MIX>")]
        [Description("All that was poured from this mix")]
        public string? Mix { get; init; }

        [CommandOption("--piece <PIECE>")]
        [Description("All that shares a lot with this piece; in a drill the piece to trace back")]
        public string? Piece { get; init; }

        [CommandOption("--day <DAY>")]
        [Description("All that was mixed or poured at the site on this day, for example 2026-11-24")]
        public string? Day { get; init; }

        /// <summary>The one that is written; null for none. A piece counts where <paramref name="withPiece"/> says so.</summary>
        public async Task<RecallScope?> ScopeAsync(Desk desk, bool withPiece = true)
        {
            var day = WrittenDay.ParseOrNone(Day) is { } date ? new RecallScope { Name = await desk.SiteAsync(), Date = date } : null;
            RecallScope?[] all =
            [
                Of(Lot, desk.Names.Lot), Of(Can, desk.Names.Container), Of(Mix, desk.Names.Mix), withPiece ? Of(Piece, desk.Names.Piece) : null, day,
            ];
            RecallScope[] written = [.. all.OfType<RecallScope>()];
            return written.Length <= 1 ? written.FirstOrDefault() : throw new UsageException("One beginning a recall: write one of --lot, --can, --mix, --piece and --day.");
        }

        private static RecallScope? Of(string? text, Func<string, string> name) => text is null ? null : new() { Name = name(text) };
    }

    private sealed class Start : ScopeSettings
    {
        [CommandArgument(0, "[recall]")]
        [Description("Its id; made up where left out")]
        public string? Id { get; init; }

        [CommandOption("--reason <TEXT>", true)]
        [Description("Why; in quotes")]
        public required string Reason { get; init; }

        [CommandOption("--dry-run")]
        [Description("Show whom and what it would reach; nothing is held or said")]
        public bool DryRun { get; init; }
    }

    private class One : StudioSettings
    {
        [CommandArgument(0, "<recall>")]
        public required string Id { get; init; }
    }

    private sealed class Print : One
    {
        [CommandOption("--to <FILE>")]
        [Description("A .pdf, .json or .txt file; on the screen unless told")]
        public string? To { get; init; }
    }

    private sealed class Acknowledge : PersonSettings
    {
        [CommandArgument(0, "<recall/notice>")]
        public required string Notice { get; init; }

        [CommandArgument(1, "<answer>")]
        [Description("returned, kept or not-reached")]
        [TypeConverter(typeof(WordConverter<Answer>))]
        public required Answer Answer { get; init; }

        [CommandOption("--note <TEXT>")]
        [Description("In their words")]
        public string? Note { get; init; }
    }

    private sealed class Close : PersonSettings
    {
        [CommandArgument(0, "<recall>")]
        public required string Id { get; init; }

        [CommandArgument(1, "<outcome>")]
        [Description("How it ended; in quotes")]
        public required string Outcome { get; init; }

        [CommandOption("--gap <TEXT>")]
        [Description("A gap that was found; repeat for more")]
        public string[] Gaps { get; init; } = [];

        [CommandOption("--release")]
        [Description("Let go what was held for it")]
        public bool Release { get; init; }
    }
}
