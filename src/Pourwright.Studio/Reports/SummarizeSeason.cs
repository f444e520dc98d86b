using Google.Protobuf.WellKnownTypes;
using Pourwright.Studio.Recalls;
using Pourwright.Studio.Storage;
using Pourwright.Studio.Suspects;
using Pourwright.V1;
using Grouping = Pourwright.V1.GetSiteWatchRequest.Types.Grouping;
using Kind = Pourwright.V1.Defect.Types.Kind;

namespace Pourwright.Studio.Reports;

/// <summary>Puts together how a season went: kinds of defects, what stands out behind each, site by site.</summary>
public static class SummarizeSeason
{
    /// <summary>As they are watched, and what fits none of them.</summary>
    private static readonly (string Title, IReadOnlyList<Kind> Kinds)[] Groups = [.. DefectKinds.Watched, ("something else", [Kind.Other])];

    /// <summary>Groups of which a defect is on record, by what people call them, each with the kinds that are.</summary>
    /// <remarks>A fine piece counts once each kind would have shown; one that nobody found at all must not keep pieces from counting.</remarks>
    public static IReadOnlyList<(string Title, IReadOnlyList<Kind> Kinds)> Seen(SuspectRecords records)
    {
        var seen = records.Defects.SelectMany(defects => defects).Select(defect => defect.Kind).ToHashSet();
        return [.. Groups.Select(group => (group.Title, Kinds: (IReadOnlyList<Kind>)[.. group.Kinds.Where(seen.Contains)])).Where(group => group.Kinds.Count > 0)];
    }

    /// <param name="records">Inspections of the season's pieces.</param>
    /// <param name="findings">What the pieces share, for each group that was seen.</param>
    /// <param name="recalls">Those open now, with their notices.</param>
    /// <param name="now">When it is written.</param>
    public static SeasonSummary Decide(
        SuspectRecords records, IReadOnlyList<(string Title, SuspectFinding Finding)> findings,
        IReadOnlyList<(RecallRecord Recall, IReadOnlyList<NoticeRecord> Notices)> recalls, DateTimeOffset now) => new()
    {
        StartTime = Instants.ToTimestamp(records.Scope.FromMs),
        EndTime = Instants.ToTimestamp(records.Scope.ToMs),
        PieceCount = records.Pieces.Count,
        Kinds = { findings.Select(found => Part(found.Title, found.Finding)).OrderByDescending(part => part.Ranking.DefectiveCount) },
        Alarms = { Groups.SelectMany(group => Alarms(records, group.Title, group.Kinds)).OrderBy(alarm => alarm.Alarm_.AlarmTime.ToDateTimeOffset()) },
        Recalls = { recalls.Select(Brief) },
        ReportTime = Timestamp.FromDateTimeOffset(now),
    };

    private static SeasonSummary.Types.KindPart Part(string title, SuspectFinding finding)
    {
        var ranking = SuspectTerms.ToProto(finding);
        Suspect[] called = [.. ranking.Suspects.Where(suspect => suspect.RankCount > 0)];
        ranking.Suspects.Clear();
        ranking.Suspects.Add(called);
        var first = finding.Ranking.CalledOut.FirstOrDefault()?.Level;
        return new()
        {
            Title = title,
            Kinds = { finding.Kinds },
            Ranking = ranking,
            Sites = { finding.Pieces.GroupBy(piece => piece.History.Piece.Site).OrderBy(site => site.Key, StringComparer.Ordinal).Select(site => Part(site.Key, [.. site], first)) },
        };
    }

    private static SeasonSummary.Types.SitePart Part(string site, IReadOnlyList<ExaminedPiece> pieces, Evidence.Suspects.SuspectLevel? first)
    {
        var with = pieces.ToLookup(piece => first is not null && piece.Factors.LevelsOf(first.Factor).Contains(first.Level));
        return new()
        {
            Site = site,
            Counts = new()
            {
                WithCount = with[true].Count(), WithDefectiveCount = with[true].Count(piece => piece.Factors.IsDefective),
                WithoutCount = with[false].Count(), WithoutDefectiveCount = with[false].Count(piece => piece.Factors.IsDefective),
            },
        };
    }

    private static IEnumerable<SeasonSummary.Types.Alarm> Alarms(SuspectRecords records, string title, IReadOnlyList<Kind> kinds)
    {
        var watch = new WatchSites(records, kinds);
        return watch.States().Select(state => watch.ToProto(state, Grouping.Week)).SelectMany(state => state.Alarms.Select(alarm =>
            new SeasonSummary.Types.Alarm { Site = state.Site, Title = title, Alarm_ = alarm }));
    }

    private static Recall Brief((RecallRecord Recall, IReadOnlyList<NoticeRecord> Notices) open)
    {
        var recall = open.Recall.ToProto();
        recall.Status = RecallProgress.Decide(open.Recall, open.Notices);
        return recall;
    }
}
