using Pourwright.Planning.Checking;
using Pourwright.Planning.Season;

namespace Pourwright.Planning.Tests.Solving;

/// <summary>The best plan by trying all, for seasons of two or three classes; knows no rule itself but asks the checker.</summary>
internal sealed class BruteForce
{
    private readonly SeasonCase season;
    private readonly List<Placement>[] ways;
    private readonly Func<ClassPlan, int> cost;
    private readonly int[] studentsFrom;
    private (int Students, int Cost) best = (-1, 0);

    private BruteForce(SeasonCase season, Func<ClassPlan, int> cost, Func<Placement, bool> allows)
    {
        (this.season, this.cost) = (season, cost);
        ways = [.. Enumerable.Range(0, season.Classes.Count).Select(c => All(c).Where(p => allows(p) && PlanChecker.Check(season, new([p])).Count == 0).ToList())];
        studentsFrom = [.. Enumerable.Range(0, ways.Length + 1).Select(from => season.Classes.Skip(from).Sum(c => c.Students))];
    }

    /// <summary>Most students, and the least cost among the plans that hold as many; cost may only grow with each class added.</summary>
    public static (int Students, int Cost) Best(SeasonCase season, Func<ClassPlan, int> cost, Func<Placement, bool>? allows = null)
    {
        var search = new BruteForce(season, cost, allows ?? (_ => true));
        search.Look([], 0);
        return search.best;
    }

    private void Look(Placement[] placed, int next)
    {
        ClassPlan plan = new(placed);
        var students = plan.Students(season);
        if (students + studentsFrom[next] < best.Students) return;
        var points = cost(plan);
        if (students + studentsFrom[next] == best.Students && points >= best.Cost) return;
        if (next == ways.Length)
        {
            best = (students, points);
            return;
        }
        foreach (var way in ways[next])
            if (PlanChecker.Check(season, new([.. placed, way])).Count == 0) Look([.. placed, way], next + 1);
        Look(placed, next + 1);
    }

    private IEnumerable<Placement> All(int c) =>
        from site in season.Classes[c].Sites
        from pour in Sessions(0, season.Classes[c].LastDay)
        from machine in Sessions(pour.Day, pour.Day + season.Offerings[season.Classes[c].Offering].LongestGapDays).Where(session => session.Slot % 2 == 0)
        from finish in season.Offerings[season.Classes[c].Offering].Finish is { } rule
            ? Sessions(machine.Day, machine.Day + rule.WithinDays).Cast<Attendance?>() : [null]
        select new Placement(c, site, pour, machine, finish);

    private IEnumerable<Attendance> Sessions(int firstDay, int lastDay) =>
        from slot in Enumerable.Range(2 * firstDay, Math.Max(0, 2 * (Math.Min(lastDay, season.Days - 1) - firstDay + 1)))
        from who in Enumerable.Range(0, season.Instructors.Count)
        select new Attendance(slot, who);
}
