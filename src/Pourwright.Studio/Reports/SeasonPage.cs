using Google.Protobuf.WellKnownTypes;
using Pourwright.Studio.Names;
using Pourwright.Studio.Paper;
using Pourwright.Studio.Recalls;
using Pourwright.Studio.Trace;
using Pourwright.V1;
using static Pourwright.Studio.Trace.TraceWords;
using KindPart = Pourwright.V1.SeasonSummary.Types.KindPart;

namespace Pourwright.Studio.Reports;

/// <summary>How much a version of the page says.</summary>
/// <param name="Kinds">Of defects.</param>
/// <param name="Sites">Of each kind, those with most defects.</param>
/// <param name="Rows">Of alarms and of recalls, the newest.</param>
internal sealed record SeasonDetail(int Kinds, int Sites, int Rows)
{
    /// <summary>The longest first. On a screen there is room for the longest.</summary>
    public static readonly SeasonDetail[] Versions = [new(8, 40, 12), new(5, 12, 6), new(4, 8, 4), new(3, 5, 3)];
}

/// <summary>Words how a season went: one page, one chart.</summary>
internal static class SeasonPage
{
    private static readonly string[] Limits =
    [
        "Bars are counts, not shares: a site that pours more has longer ones. Read the counts on both sides.",
        "A piece that nobody inspected is counted nowhere; a cause that was not recorded cannot stand out; what does not stand out is not cleared.",
        "What stands out is what defective pieces share. It is no proof of cause, and no grade is a probability of guilt.",
    ];

    public static Report Write(SeasonSummary season, TracePlaces places, SeasonDetail detail)
    {
        // A season of several time zones has no local time.
        var zone = places.Sites.Keys.Select(places.Zone).DistinctBy(zone => zone.Id).ToList() is [var only] ? only : TimeZoneInfo.Utc;
        return new()
        {
            Kicker = $"{places.Studio} · defects of a season",
            Title = $"{LocalDay(season.StartTime, zone)} to {LocalDay(season.EndTime, zone)}",
            Headline = Headline(season),
            Alarm = season.Alarms.Count > 0 || season.Recalls.Count > 0,
            Made = $"Written {Local(season.ReportTime, zone)}",
            MadeTime = season.ReportTime.ToDateTimeOffset(),
            Blocks =
            [
                .. RecallReport.Section("Defective pieces by kind, cause and site", Chart(season, places, detail)),
                .. RecallReport.Section("What stands out", Kinds(season, detail)),
                .. RecallReport.Section("Alarms of the watch", Alarms(season, places, detail, zone), More(season.Alarms.Count - detail.Rows, "earlier alarm")),
                .. RecallReport.Section("Open recalls", Recalls(season, detail, zone), More(season.Recalls.Count - detail.Rows, "older recall")),
                .. RecallReport.Section("How to read it", new SentencesBlock(Limits)),
                new WordsBlock("The safety data sheets, local code and licensed practice decide; this page does not replace them."),
            ],
        };
    }

    private static string Headline(SeasonSummary season)
    {
        var kinds = season.Kinds.Count == 0 ? "No defect is on record, which does not say that there was none."
            : $"{Capital(List([.. season.Kinds.Take(3).Select(kind => $"{kind.Title} in {kind.Ranking.DefectiveCount} of {kind.Ranking.PieceCount} inspected")]))}.";
        var called = season.Kinds.SelectMany(kind => kind.Ranking.Suspects).Take(2)
            .Select(suspect => $"{DefectVerdict.NameOf(suspect.Level)} ({DefectVerdict.Of(suspect.Grade)})").ToList();
        var cause = season.Kinds.Count == 0 ? "" : called.Count == 0 ? " Nothing stands out as a cause: too little to say." : $" What stands out: {List(called)}.";
        return $"{Capital(Count(season.PieceCount, "piece"))} poured. {kinds}{cause} {Capital(Count(season.Alarms.Count, "alarm"))}, {Count(season.Recalls.Count, "open recall")}.";
    }

    private static SeasonChart? Chart(SeasonSummary season, TracePlaces places, SeasonDetail detail) => season.Kinds.Count == 0 ? null : new(
    [
        .. season.Kinds.Take(detail.Kinds).Select(kind => new SeasonBars(Title(kind), Suspect(kind),
        [
            .. kind.Sites.OrderByDescending(site => site.Counts.WithDefectiveCount + site.Counts.WithoutDefectiveCount).ThenBy(site => site.Site, StringComparer.Ordinal)
                .Take(detail.Sites).Select(site => new SeasonBar(places.Site(site.Site),
                    site.Counts.WithDefectiveCount, site.Counts.WithCount, site.Counts.WithoutDefectiveCount, site.Counts.WithoutCount)),
        ])),
    ]);

    private static string Title(KindPart kind) =>
        $"{Capital(kind.Title)}: {kind.Ranking.DefectiveCount} of {kind.Ranking.PieceCount} inspected; {(Suspect(kind) is { Length: > 0 } suspect ? $"{suspect} stands out" : "nothing stands out")}";

    private static string Suspect(KindPart kind) => kind.Ranking.Suspects is [var first, ..] ? DefectVerdict.NameOf(first.Level) : "";

    private static GridBlock? Kinds(SeasonSummary season, SeasonDetail detail) => RecallReport.Grid(
        [new("Kind"), new("Stands out"), new("The record says"), new("With it", true), new("Others", true), new("Without those above")],
        season.Kinds.Take(detail.Kinds).SelectMany(kind => kind.Ranking.Suspects.Take(3).Select(suspect => (string[])
        [
            Capital(kind.Title), DefectVerdict.NameOf(suspect.Level), DefectVerdict.Of(suspect.Grade),
            Of(suspect.Counts.WithDefectiveCount, suspect.Counts.WithCount), Of(suspect.Counts.WithoutDefectiveCount, suspect.Counts.WithoutCount),
            suspect.RankCount == 1 ? "–" : $"{Of(suspect.RemainingCounts.WithDefectiveCount, suspect.RemainingCounts.WithCount)}, others {Of(suspect.RemainingCounts.WithoutDefectiveCount, suspect.RemainingCounts.WithoutCount)}",
        ]).DefaultIfEmpty([Capital(kind.Title), "nothing", DefectVerdict.Of(V1.Suspect.Types.Grade.TooLittle), "–", Of(kind.Ranking.DefectiveCount, kind.Ranking.PieceCount), "–"])));

    private static GridBlock? Alarms(SeasonSummary season, TracePlaces places, SeasonDetail detail, TimeZoneInfo zone) => RecallReport.Grid(
        [new("Called"), new("Site"), new("Watched"), new("Began with piece"), new("Defective", true)],
        season.Alarms.TakeLast(detail.Rows).Select(alarm => (string[])
        [
            Brief(alarm.Alarm_.AlarmTime, zone, season.ReportTime), places.Site(alarm.Site), alarm.Title,
            $"{ResourceNames.IdOf(alarm.Alarm_.FirstPiece)}, {Brief(alarm.Alarm_.FirstInspectTime, zone, season.ReportTime)}",
            $"{alarm.Alarm_.DefectiveCount} of {alarm.Alarm_.PieceCount} in a row",
        ]));

    private static GridBlock? Recalls(SeasonSummary season, SeasonDetail detail, TimeZoneInfo zone) => RecallReport.Grid(
        [new("Recall"), new("Of"), new("Since"), new("Pieces", true), new("With makers", true), new("Told", true), new("Answered", true)],
        season.Recalls.TakeLast(detail.Rows).Select(recall => (string[])
        [
            ResourceNames.IdOf(recall.Name), RecallFrom.Of(recall.Scope).InWords(), Brief(recall.Status.StartTime, zone, season.ReportTime), Number(recall.Status.PieceCount),
            Number(recall.Status.HandedOverCount), Of(recall.Status.ToldCount, recall.Status.PersonCount), Of(recall.Status.AnsweredCount, recall.Status.PersonCount),
        ]));

    private static WordsBlock? More(int count, string what) => count <= 0 ? null : new($"{Capital(Count(count, what))} not shown.");

    private static string Of(int part, int all) => $"{part} of {all}";
}
