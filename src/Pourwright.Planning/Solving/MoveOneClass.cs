using System.Numerics;
using Pourwright.Planning.Greedy;
using Pourwright.Planning.Season;

namespace Pourwright.Planning.Solving;

/// <summary>Another date for one class of a plan, at once: alone if it can be, else with a few others that make room.</summary>
public static class MoveOneClass
{
    private const int ChangePrice = 10_000; // more than the points of a few classes can ever differ

    /// <summary>
    /// First all other ways of the class are looked at while everybody else stays; the one with fewest points is taken. Only where
    /// there is none, the classes that stand most in its way may move too: so that all are held, as few sessions change as can be
    /// (another time or place counts 1, another person 2), and then points are fewest.
    /// </summary>
    /// <param name="season">As it is now: an ill instructor, a closed site are in here.</param>
    /// <param name="plan">Keeps every rule but for the class that moves.</param>
    /// <param name="class">Which class; it need not be in the plan.</param>
    /// <param name="allows">Pours that it may have, by site and slot; null allows every other day or site than it has.</param>
    /// <param name="effort">How far to look.</param>
    /// <param name="cancel">Gives up.</param>
    /// <returns>Null where nothing was found.</returns>
    public static MovedClass? Find(SeasonCase season, ClassPlan plan, int @class, Func<int, int, bool>? allows, MoveEffort effort, CancellationToken cancel)
    {
        var ways = ClassWays.Of(season);
        var was = plan.Placed.FirstOrDefault(p => p.Class == @class);
        ways[@class] = ways[@class].Only(allows ?? ((site, slot) => was is null || site != was.Site || slot / 2 != was.Pour.Day));
        var load = new SeasonLoad(season, ways);
        foreach (var p in plan.Placed)
            if (p.Class != @class) load.Add(p);
        if (new Insertion(season, load) { EveryTeam = true }.Cheapest(ways[@class]) is { } alone) return new(With(plan, [alone]), [alone], [@class], true);
        return effort.Neighbours == 0 || ways[@class].Sites.Length == 0 ? null : Together(season, plan, ways, load, @class, effort, cancel);
    }

    private static MovedClass? Together(
        SeasonCase season, ClassPlan plan, ClassWays[] ways, SeasonLoad load, int @class, MoveEffort effort, CancellationToken cancel)
    {
        int[] free = [@class, .. InTheWay(plan, ways[@class], load).Take(effort.Neighbours)];
        var before = plan.Placed.Where(p => free.Contains(p.Class)).ToDictionary(p => p.Class);
        foreach (var c in free.Skip(1)) load.Remove(c);
        var model = new PlacementModel(season, free.Select(c => ways[c]), load);
        model.HoldAll();
        model.Hint(before.Where(p => p.Key != @class).ToDictionary());
        model.Minimize(ChangePrice * model.Changes(before) + model.Points);
        var solved = model.Solve(effort.Seconds, effort.Seed, cancel);
        if (solved.Placed is null) return null;
        Placement[] changed = [.. solved.Placed.Where(p => p != before.GetValueOrDefault(p.Class))];
        return new(With(plan, changed), changed, free, solved.Proved);
    }

    private static ClassPlan With(ClassPlan plan, Placement[] changed) => new(
        [.. plan.Placed.Where(p => changed.All(other => other.Class != p.Class)).Concat(changed).OrderBy(p => p.Class)]);

    /// <summary>Other classes, first those without which the class would find most half days open to it.</summary>
    private static IEnumerable<int> InTheWay(ClassPlan plan, ClassWays moved, SeasonLoad load)
    {
        var open = Openings(moved, load);
        return plan.Placed.Where(p => p.Class != moved.Class).Select(p =>
        {
            load.Remove(p.Class);
            var more = Openings(moved, load) - open;
            load.Add(p);
            return (p.Class, more);
        }).Where(other => other.more > 0).OrderByDescending(other => other.more).ThenBy(other => other.Class).Select(other => other.Class);
    }

    // Sessions that could be held, each by every person who could; a machine day is rarer than a half day and counts double.
    private static int Openings(ClassWays moved, SeasonLoad load) => moved.Sites.Sum(at =>
        at.Pours.Where(pour => load.BenchFree(at, pour.Day) && load.RoomFree(at, pour.Slot)).Sum(pour => People(load.Free(at, pour.Slot, pour.Slot)))
        + 2 * at.Machines.Where(m => load.BenchFree(at, m.Day) && load.MachinesFree(at, m.Day) && load.RoomFree(at, 2 * m.Day) && load.RoomFree(at, 2 * m.Day + 1))
            .Sum(m => People(load.Free(at, 2 * m.Day, 2 * m.Day + 1)))
        + at.Finishes.Where(slot => load.RoomFree(at, slot)).Sum(slot => People(load.Free(at, slot, slot))));

    private static int People(ulong free) => BitOperations.PopCount(free);
}

/// <summary>How far to look for another date.</summary>
public sealed record MoveEffort
{
    public int Seed { get; init; } = 1;

    /// <summary>Classes that may move as well.</summary>
    public int Neighbours { get; init; } = 7;

    /// <summary>Work of the constraint solver, in its deterministic s.</summary>
    public double Seconds { get; init; } = 2;
}

/// <summary>A plan in which one class has moved.</summary>
/// <param name="Plan">The whole plan.</param>
/// <param name="Changed">What is held otherwise than before, the class among it.</param>
/// <param name="Freed">Classes that were free to move, the class first.</param>
/// <param name="Proved">No better one exists while all but these stay.</param>
public sealed record MovedClass(ClassPlan Plan, IReadOnlyList<Placement> Changed, IReadOnlyList<int> Freed, bool Proved);
