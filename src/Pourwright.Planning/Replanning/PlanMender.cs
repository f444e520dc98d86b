using Pourwright.Planning.Checking;
using Pourwright.Planning.Season;

namespace Pourwright.Planning.Replanning;

/// <summary>Finds what is broken in a published plan after something happened, and proposes how to mend it.</summary>
public static class PlanMender
{
    /// <summary>Proposals; none where nothing is broken, or only what is stuck.</summary>
    /// <param name="season">As it is now, with what happened.</param>
    /// <param name="published">As people know it.</param>
    /// <param name="nowHours">Elapsed h of the season's clock, see <see cref="SeasonSite.SlotStartHours"/>.</param>
    /// <param name="named">Classes that a person will tell though they begin soon.</param>
    /// <param name="terms">What is tried.</param>
    /// <param name="cancel">Leaves off with the proposals until then.</param>
    public static PlanMending Propose(
        SeasonCase season, ClassPlan published, double nowHours, IReadOnlySet<int> named, ReplanTerms terms, CancellationToken cancel)
    {
        var frozen = new FrozenSessions(season, nowHours, terms.FrozenHours, named);
        var broken = Broken(season, published);
        var mending = Try(season, published, frozen, broken, Stuck(broken, published, frozen), terms, cancel);
        // Where classes that begin soon cannot be held at all, they are a person's to decide, and the others are mended beside them.
        var soon = broken.Select(b => b.Class).Where(c => frozen.Any(Of(published, c))).ToHashSet();
        return mending ?? Try(season, published, frozen, broken, soon, terms, cancel)
            ?? new(broken, [.. broken.Select(b => b.Class)], []);
    }

    private static BrokenClass[] Broken(SeasonCase season, ClassPlan published) =>
    [
        .. PlanChecker.Check(season, published)
            .SelectMany(fault => fault.Classes.Select(c => (Class: c, fault)))
            .GroupBy(part => part.Class, part => part.fault)
            .Select(faults => new BrokenClass(faults.Key, [.. faults]))
            .OrderBy(b => b.Class),
    ];

    // Nothing of it can move, or what is wrong with it is wrong with a session that stays.
    private static HashSet<int> Stuck(BrokenClass[] broken, ClassPlan published, FrozenSessions frozen) =>
        [.. broken.Where(b => IsStuck(b, Of(published, b.Class), frozen)).Select(b => b.Class)];

    private static bool IsStuck(BrokenClass broken, Placement p, FrozenSessions frozen) => frozen.All(p) || broken.Faults.Any(fault =>
        fault.Classes.Count == 1 && p.Sessions.Where(s => s.Day == fault.Day).ToArray() is { Length: > 0 } met
        && met.All(s => frozen.IsFrozen(p.Class, p.Site, s.Slot)));

    private static PlanMending? Try(
        SeasonCase season, ClassPlan published, FrozenSessions frozen, BrokenClass[] broken, HashSet<int> stuck, ReplanTerms terms,
        CancellationToken cancel)
    {
        var loose = broken.Select(b => b.Class).Where(c => !stuck.Contains(c)).ToArray();
        if (loose.Length == 0)
            return new(broken, [.. stuck.Order()], []);
        var mended = new FreedClasses(season, published, broken.Select(b => b.Class).ToHashSet(), frozen, terms, cancel);
        var alone = mended.Solve(loose.ToHashSet(), stuck, byPrice: false, null);
        var quick = alone is null || terms.Neighbours.All(neighbours => neighbours == 0) ? null : mended.WithRoomMade(alone.Placed);
        int[] kin = [.. Moved(published, quick).Except(loose).Concat(Nearest(season, published, frozen, broken, loose)).Distinct()];
        var proposals = new List<MendedPlan>();
        foreach (var byPrice in terms.ChangesAStudent is null ? [false] : new[] { false, true })
        {
            IReadOnlyList<Placement>? best = null;
            foreach (var neighbours in terms.Neighbours.Append(0).Distinct().Order())
            {
                var free = loose.Concat(kin.Take(neighbours)).ToHashSet();
                if (neighbours > 0 && quick is not null && Moved(published, quick).All(free.Contains))
                    best = quick;
                if (mended.Solve(free, stuck, byPrice, best) is not { } solved)
                    continue;
                best = solved.Placed;
                proposals.Add(Proposal(season, published, broken, solved, neighbours, byPrice));
            }
        }
        return proposals.Count == 0 ? null : new(broken, [.. stuck.Order()], Frontier(proposals, c => PassesBut(season, c, stuck)));
    }

    private static IEnumerable<int> Nearest(
        SeasonCase season, ClassPlan published, FrozenSessions frozen, BrokenClass[] broken, int[] loose) => Kinship.Nearest(
            season, [.. loose.Select(c => Of(published, c))],
            published.Placed.Where(p => broken.All(b => b.Class != p.Class) && !frozen.All(p)));

    private static IEnumerable<int> Moved(ClassPlan published, IReadOnlyList<Placement>? placed) =>
        placed is null ? [] : placed.Except(published.Placed).Select(p => p.Class);

    private static MendedPlan Proposal(
        SeasonCase season, ClassPlan published, BrokenClass[] broken, SolvedFreedom solved, int neighbours, bool byPrice)
    {
        ClassPlan plan = new(solved.Placed);
        var held = plan.Placed.ToDictionary(p => p.Class);
        int[] cancelled = [.. published.Placed.Select(p => p.Class).Where(c => !held.ContainsKey(c)).Order()];
        MendedClass[] moved =
        [
            .. published.Placed.Where(p => held.TryGetValue(p.Class, out var now) && now != p).OrderBy(p => p.Class)
                .Select(p => Moved(season, plan, p, held[p.Class], broken)),
        ];
        return new(
            plan, neighbours, byPrice, solved.Proved, cancelled, cancelled.Sum(c => season.Classes[c].Students), moved,
            moved.Sum(m => MendedClass.Changes(m.From, m.To)), PlanPoints.Of(season, plan).Total);
    }

    private static MendedClass Moved(SeasonCase season, ClassPlan plan, Placement from, Placement to, BrokenClass[] broken)
    {
        if (Array.Find(broken, b => b.Class == from.Class) is { } was)
            return new(from, to, was.Faults, []);
        ClassPlan back = new([.. plan.Placed.Where(p => p.Class != from.Class), from]);
        int[] inItsPlace =
        [
            .. PlanChecker.Check(season, back).Where(f => f.Classes.Contains(from.Class)).SelectMany(f => f.Classes)
                .Where(c => c != from.Class).Distinct().Order(),
        ];
        return new(from, to, [], inItsPlace);
    }

    private static bool PassesBut(SeasonCase season, ClassPlan plan, HashSet<int> stuck) =>
        PlanChecker.Check(season, plan).All(fault => fault.Classes.Any(stuck.Contains));

    private static MendedPlan[] Frontier(List<MendedPlan> proposals, Func<ClassPlan, bool> passes) =>
    [
        .. proposals.Where(p => passes(p.Plan))
            .OrderBy(p => p.CancelledStudents).ThenBy(p => p.Changes).ThenBy(p => p.Points).ThenBy(p => p.Neighbours)
            .Aggregate(new List<MendedPlan>(), (kept, p) =>
            {
                if (kept.TrueForAll(better => p.Changes < better.Changes))
                    kept.Add(p);
                return kept;
            }),
    ];

    private static Placement Of(ClassPlan plan, int @class) => plan.Placed.First(p => p.Class == @class);
}
