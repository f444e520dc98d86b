using System.Globalization;
using Pourwright.Evidence.Watch;
using Pourwright.Studio.Names;
using Pourwright.Studio.Storage;
using Pourwright.V1;
using Grouping = Pourwright.V1.GetSiteWatchRequest.Types.Grouping;
using Kind = Pourwright.V1.Defect.Types.Kind;

namespace Pourwright.Studio.Suspects;

/// <summary>The defects of each site in the order of inspection.</summary>
public sealed class WatchSites
{
    private readonly SuspectRecords _records;
    private readonly (PieceHistory History, PieceInspection Inspection)[] _inspected;

    /// <param name="records">At least the inspections.</param>
    /// <param name="kinds">Counted as one; any defect where empty.</param>
    public WatchSites(SuspectRecords records, IReadOnlyList<Kind> kinds)
    {
        _records = records;
        _inspected =
        [
            .. PieceHistory.Of(records).Select(history => (history, inspection: history.Inspected(kinds)))
                .Where(seen => seen.inspection is not null).Select(seen => (seen.history, seen.inspection!))
                .OrderBy(seen => seen.Item2.Ms).ThenBy(seen => seen.history.Piece.Name, StringComparer.Ordinal),
        ];
    }

    /// <summary>How every site stands that has an inspected piece, by name.</summary>
    public IReadOnlyList<SiteState> States() => [.. Evidence.Watch.SiteWatch.States(_inspected.Select(seen =>
        new Inspection(seen.History.Piece.Site, seen.History.Piece.Name, seen.Inspection.IsDefective))).OrderBy(state => state.Site, StringComparer.Ordinal)];

    /// <summary>The pieces of an alarm, first to last.</summary>
    public IReadOnlyList<string> PiecesOf(SiteAlarm alarm)
    {
        var pieces = _inspected.Where(seen => seen.History.Piece.Site == alarm.Site).Select(seen => seen.History.Piece.Name).ToList();
        return pieces.GetRange(pieces.IndexOf(alarm.FirstPiece), alarm.Pieces);
    }

    /// <summary>When a piece was inspected, Unix ms.</summary>
    public long InspectedMs(string piece) => _inspected.First(seen => seen.History.Piece.Name == piece).Inspection.Ms;

    /// <summary>An alarm as people read it: the site by its name, pieces by the codes on their labels.</summary>
    public string Words(SiteAlarm alarm) => (alarm with
    {
        Site = _records.Sites[alarm.Site].DisplayName,
        FirstPiece = ResourceNames.IdOf(alarm.FirstPiece),
        LastPiece = ResourceNames.IdOf(alarm.LastPiece),
    }).Words;

    public V1.SiteWatch.Types.State ToProto(SiteState state, Grouping grouping)
    {
        var groups = _inspected.Where(seen => seen.History.Piece.Site == state.Site).GroupBy(seen => GroupOf(seen.History, seen.Inspection, grouping));
        var chart = PChart.Of(groups.Select(group => new InspectedGroup(group.Key, group.Count(), group.Count(seen => seen.Inspection.IsDefective))));
        return new()
        {
            Site = state.Site,
            PieceCount = chart.Groups.Sum(group => group.Group.Pieces),
            DefectiveCount = chart.Groups.Sum(group => group.Group.Defective),
            SumCount = state.Sum,
            LimitCount = new BernoulliCusum().Limit,
            FirstPiece = state.FirstPiece ?? "",
            Alarms = { state.Alarms.Select(ToProto) },
            MeanShareRatio = chart.MeanShare,
            Points = { chart.Groups.Select(ToProto) },
        };
    }

    private string GroupOf(PieceHistory history, PieceInspection inspection, Grouping grouping)
    {
        if (grouping == Grouping.Class) return history.Piece.CastingClass.Length > 0 ? ResourceNames.IdOf(history.Piece.CastingClass) : "no class";
        var day = TimeZoneInfo.ConvertTime(Instants.FromUnixMs(inspection.Ms), _records.Sites[history.Piece.Site].Zone).DateTime;
        return $"{ISOWeek.GetYear(day):0000}-W{ISOWeek.GetWeekOfYear(day):00}";
    }

    private DefectAlarm ToProto(SiteAlarm alarm) => new()
    {
        FirstPiece = alarm.FirstPiece,
        FirstInspectTime = Instants.ToTimestamp(InspectedMs(alarm.FirstPiece)),
        LastPiece = alarm.LastPiece,
        AlarmTime = Instants.ToTimestamp(InspectedMs(alarm.LastPiece)),
        PieceCount = alarm.Pieces,
        DefectiveCount = alarm.Defective,
        Text = Words(alarm),
    };

    private static DefectPoint ToProto(ChartedGroup charted) => new()
    {
        Group = charted.Group.Name,
        PieceCount = charted.Group.Pieces,
        DefectiveCount = charted.Group.Defective,
        FewestUsualCount = charted.FewestUsual,
        MostUsualCount = charted.MostUsual,
        Out = charted.IsOut,
    };
}
