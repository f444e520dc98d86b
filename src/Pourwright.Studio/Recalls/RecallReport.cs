using System.Globalization;
using Google.Protobuf.WellKnownTypes;
using Pourwright.Studio.Names;
using Pourwright.Studio.Paper;
using Pourwright.Studio.Trace;
using Pourwright.V1;
using static Pourwright.Studio.Trace.TraceWords;
using Answer = Pourwright.V1.RecallNotice.Types.Answer;
using Where = Pourwright.V1.RecallPiece.Types.Where;

namespace Pourwright.Studio.Recalls;

/// <summary>Words a recall: what to do first, then who has what, who was told, and what is open.</summary>
public static class RecallReport
{
    public static Report Write(Recall recall, TracePlaces places, DateTimeOffset now)
    {
        var zone = ZoneOf(recall, places);
        var made = Timestamp.FromDateTimeOffset(now);
        return new()
        {
            Kicker = $"{places.Studio} · recall",
            Title = $"Recall {Id(recall.Name)} · {RecallFrom.Of(recall.Scope).InWords()}",
            Headline = Headline(recall),
            Alarm = recall.Status.CloseTime is null,
            Made = $"As of {Local(made, zone)}",
            MadeTime = now,
            Blocks =
            [
                .. Section("The recall", new FactsBlock(
                [
                    ("Why", recall.Reason), ("Started by", recall.Starter), .. Times(recall.Status, zone),
                    ("Outcome", recall.Outcome.Length == 0 ? "open" : $"{recall.Outcome} ({recall.Closer})"),
                ])),
                .. List(recall.List, places),
                .. Section("People", People(recall.Notices, recall.List)),
                .. Section("Gaps", recall.Gaps.Count == 0 ? null : new SentencesBlock(recall.Gaps)),
                .. Section("Before anyone acts", new SentencesBlock(TraceCautions.OfLot)),
            ],
        };
    }

    /// <summary>Pieces, stock and open mixes, as sections.</summary>
    /// <param name="list">What was found.</param>
    /// <param name="places">What people call places.</param>
    /// <param name="drill">Nothing was held, and nothing was to be.</param>
    public static IEnumerable<ReportBlock> List(RecallList list, TracePlaces places, bool drill = false) =>
    [
        .. Section("Pieces", Grid(
            [new("Piece"), new("Label"), new("Where"), new("Who has it"), new("Made at"), new("Mixes"), new("Held")],
            list.Pieces.Select(piece => (string[])
            [
                Id(piece.Piece), piece.Label, WhereOf(piece), piece.Holder, places.Site(piece.Site), string.Join(", ", piece.Mixes.Select(Id)),
                HeldOf(piece.Held, drill, piece.Where is Where.HandedOver or Where.Scrapped, piece.Joined),
            ]))),
        .. Section("Stock", Grid(
            [new("Container"), new("Site"), new("Part"), new("Left by the book", true), new("Held")],
            list.Stock.Select(stock => (string[])
                [Id(stock.Container), places.Site(stock.Site), TraceWords.Of(stock.Part), Grams(stock.RemainingMassMg), HeldOf(stock.Held, drill, false, stock.Joined)]))),
        .. Section("In the bucket", Grid(
            [new("Mix"), new("Site"), new("Neither poured nor thrown away", true)],
            list.OpenMixes.Select(mix => (string[])[Id(mix.Mix), places.Site(mix.Site), Grams(mix.RemainingMassMg)]))),
    ];

    /// <summary>When each step was done, and how long after the start.</summary>
    public static IEnumerable<(string Name, string Value)> Times(RecallStatus status, TimeZoneInfo zone) =>
    [
        ("Started", Local(status.StartTime, zone)),
        ("List complete", After(status.ListTime, status)),
        ("All held", After(status.HoldTime, status)),
        ("All written to", After(status.TellTime, status)),
        ("All answered", After(status.AnswerTime, status)),
        ("Closed", After(status.CloseTime, status)),
    ];

    /// <summary>A time span for a stopwatch: "0.04 s", "0.4 s", "12 min", "2 h 5 min".</summary>
    public static string Elapsed(Timestamp start, Timestamp end) => (end.ToDateTimeOffset() - start.ToDateTimeOffset()) switch
    {
        { TotalSeconds: < 0.1 } span => span.TotalSeconds.ToString("0.00 s", CultureInfo.InvariantCulture),
        { TotalSeconds: < 60 } span => span.TotalSeconds.ToString("0.0 s", CultureInfo.InvariantCulture),
        var span => Span(span),
    };

    public static TimeZoneInfo ZoneOf(Recall recall, TracePlaces places) => recall.List.Pieces.Select(piece => piece.Site)
        .Concat(recall.List.Stock.Select(stock => stock.Site)).Concat(recall.List.OpenMixes.Select(mix => mix.Site)).FirstOrDefault() is { } site
        ? places.Zone(site) : TimeZoneInfo.Utc;

    public static IEnumerable<ReportBlock> Section(string heading, params ReportBlock?[] blocks)
    {
        ReportBlock[] present = [.. blocks.OfType<ReportBlock>()];
        return present.Length == 0 ? [] : [new HeadingBlock(heading), .. present];
    }

    public static GridBlock? Grid(IReadOnlyList<GridColumn> columns, IEnumerable<string[]> rows)
    {
        string[][] all = [.. rows];
        return all.Length == 0 ? null : new(columns, all);
    }

    private static string Headline(Recall recall)
    {
        var status = recall.Status;
        var left = status.HandedOverSinceCount == 0 ? "" : $" {Capital(Count(status.HandedOverSinceCount, "piece"))} left the house since: tell {(status.HandedOverSinceCount == 1 ? "its maker" : "their makers")} again.";
        var joined = status.JoinedCount == 0 ? "" : $" {Capital(Count(status.JoinedCount, "piece"))} joined since and nobody was told of {(status.JoinedCount == 1 ? "it" : "them")}.";
        return $"{Capital(Count(status.PieceCount, "piece"))}, {Number(status.HandedOverCount)} of them with their makers; {Grams(status.StockMassMg)} of stock. "
            + $"{Number(status.ToldCount)} of {Count(status.PersonCount, "person", "persons")} told, {Number(status.AnsweredCount)} answered, {Number(status.ReachedCount)} of these reached.{left}{joined}";
    }

    private static GridBlock? People(IReadOnlyList<RecallNotice> notices, RecallList list)
    {
        var labels = list.Pieces.ToDictionary(piece => piece.Piece, piece => piece.Label);
        return Grid(
            [new("Notice"), new("Who"), new("Pieces"), new("Told"), new("Answer")],
            notices.Select(notice => (string[])
            [
                Id(notice.Name), Who(notice), string.Join(", ", notice.Pieces.Select(piece => labels.GetValueOrDefault(piece, Id(piece)))),
                ToldOf(notice), Of(notice.Answer) + (notice.Note.Length > 0 ? $": {notice.Note}" : ""),
            ]));
    }

    private static string Who(RecallNotice notice) =>
        $"{(notice.Person.Length == 0 ? "maker not known" : notice.Person)}{(notice.Role == RecallNotice.Types.Role.Contact ? ", contact" : "")}";

    private static string ToldOf(RecallNotice notice) => notice switch
    {
        { Reachable: false } => notice.Obstacle,
        { HandOverTime: not null } => "no answer; with the owner",
        { TellTime: null } => "waits to go out",
        { ChaseCount: > 0 } => $"yes, asked again {(notice.ChaseCount == 1 ? "once" : "twice")}",
        _ => "yes",
    };

    private static string HeldOf(bool held, bool drill, bool cannot, bool joined) => (cannot ? "–" : held ? "held" : drill ? "would be" : "NOT HELD") + (joined ? ", joined since" : "");

    private static string After(Timestamp? time, RecallStatus status) => time is null ? "–" : $"{Elapsed(status.StartTime, time)} after the start";

    private static string WhereOf(RecallPiece piece) =>
        piece.FoundWhere == Where.Unspecified ? Of(piece.Where) : $"{Of(piece.Where)}; when listed: {Of(piece.FoundWhere)}";

    public static string Of(Where where) => where switch
    {
        Where.Curing => "curing in its mould",
        Where.InHouse => "out of its mould, in the house",
        Where.Finished => "finished, in the house",
        Where.HandedOver => "HANDED OVER",
        Where.Scrapped => "given up",
        _ => Unknown,
    };

    private static string Of(Answer answer) => answer switch
    {
        Answer.Returned => "brought it back",
        Answer.Kept => "knows, keeps it",
        Answer.NotReached => "NOT REACHED",
        _ => "none yet",
    };

    private static string Id(string name) => ResourceNames.IdOf(name);
}
