using Pourwright.Studio.Names;
using LocalDays = Pourwright.Studio.Classes.Days;
using Kind = Pourwright.V1.Session.Types.Kind;

namespace Pourwright.Studio.Plans;

/// <summary>Says what stands in the picture of a plan.</summary>
internal static class DrawPlan
{
    /// <summary>The slack below which a class counts as at risk although its chance is what was asked for, in h: the first step of what a plan is charged for.</summary>
    private const double TightHours = 12;

    /// <summary>The picture; chances are those of now.</summary>
    public static PlanPicture Decide(PlannedSeason season, PlanRecord plan)
    {
        DateOnly[] dates = [.. plan.Placed.SelectMany(row => row.Sessions).Select(session => LocalDays.FromColumn(session.LocalDate)), LocalDays.FromColumn(plan.FirstDate)];
        var (first, last) = (dates.Min(), dates.Max());
        return new(
            $"{(plan.State == V1.Plan.Types.State.Proposed ? "Proposal" : "Plan")} {ResourceNames.IdOf(plan.Name)}",
            $"{plan.ClassCount} classes, {plan.StudentCount} students; as of {PlanWords.Day(DateOnly.FromDateTime(DateTimeOffset.FromUnixTimeMilliseconds(season.Facts.NowMs).UtcDateTime))}. Times are local to each site.",
            first, last.DayNumber - first.DayNumber + 1,
            [.. season.Facts.Sites.Select((site, i) => Site(season, plan, i, first, last)).Where(site => site.Benches.Count > 0)]);
    }

    private static SiteLanes Site(PlannedSeason season, PlanRecord plan, int index, DateOnly first, DateOnly last)
    {
        var site = season.Facts.Sites[index];
        var rows = plan.Placed.Where(row => row.Site == site.Name).ToArray();
        return new(
            site.DisplayName,
            [.. Enumerable.Range(0, last.DayNumber - first.DayNumber + 1).Where(day => !IsOpen(season, index, first.AddDays(day)))],
            [
                .. season.Facts.Benches.Select(bench => bench.Bench).Where(bench => bench.Site == site.Name)
                    .Select(bench => new BenchLane(bench.DisplayName, bench.Places, Bars(season, rows, bench.Name, first))),
            ]);
    }

    private static bool IsOpen(PlannedSeason season, int site, DateOnly date) =>
        date.DayNumber - season.Case.FirstDay.DayNumber is var day && (day < 0 || day >= season.Case.Days || season.Case.Sites[site].Days[day].Open);

    /// <summary>A row of its own for each class that lies beside another.</summary>
    private static List<LaneBar> Bars(PlannedSeason season, PlacementRecord[] rows, string bench, DateOnly first)
    {
        List<LaneBar> bars = [];
        foreach (var row in rows)
            foreach (var share in row.BenchShares().Where(share => share.Bench == bench))
            {
                var bar = Bar(season, row, share, first);
                var taken = bars.Where(other => other.FromDay < bar.EndDay && bar.FromDay < other.EndDay).Select(other => other.Row).ToHashSet();
                bars.Add(bar with { Row = Enumerable.Range(0, taken.Count + 1).First(free => !taken.Contains(free)) });
            }
        return bars;
    }

    private static LaneBar Bar(PlannedSeason season, PlacementRecord row, BenchShare share, DateOnly first)
    {
        double? At(Kind kind) => row.Sessions.FirstOrDefault(session => session.Kind == kind) is { } session
            ? LocalDays.FromColumn(session.LocalDate).DayNumber - first.DayNumber + session.LocalStartMinute / 1440.0 : null;
        return new(
            ResourceNames.IdOf(row.Class), share.Pieces, At(Kind.Pour) ?? 0, At(Kind.Machine) ?? 0, At(Kind.Finish), 0,
            IsAtRisk(season, row), row.Change.Length > 0);
    }

    private static bool IsAtRisk(PlannedSeason season, PlacementRecord row) =>
        row.GapMs - row.LeastGapMs < TightHours * 3_600_000
        || (season.ClassIndex(row.Class) is >= 0 and var c && season.PlacementOf(c, row.Sessions) is { } p && season.Chance(p) < season.Facts.Terms.ChanceAllReady);
}
