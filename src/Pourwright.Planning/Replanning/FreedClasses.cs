using Google.OrTools.Sat;
using Pourwright.Planning.Checking;
using Pourwright.Planning.Explaining;
using Pourwright.Planning.Greedy;
using Pourwright.Planning.Season;
using Pourwright.Planning.Solving;

namespace Pourwright.Planning.Replanning;

/// <summary>All placements of a plan in which some classes were free to move.</summary>
internal sealed record SolvedFreedom(IReadOnlyList<Placement> Placed, bool Proved);

/// <summary>
/// Places some classes of a published plan anew, the others staying: fewest students given up, fewest changes, fewest points.
/// </summary>
internal sealed class FreedClasses(
    SeasonCase season, ClassPlan published, IReadOnlySet<int> broken, FrozenSessions frozen, ReplanTerms terms, CancellationToken cancel)
{
    // Two or three sessions of a class, each at another time or place, and with another person.
    private const int MostChangesOfAClass = 3 * (MendedClass.TimeOrPlaceChange + MendedClass.PersonChange);

    // So many are proved in tenths of a second.
    private const int PolishedAtOnce = 8;

    private readonly ClassWays[] ways = ClassWays.Of(season);
    private readonly Dictionary<int, Placement> before = published.Placed.ToDictionary(p => p.Class);

    /// <summary>The best found; null where classes that begin soon cannot all be held, or nothing was found in time.</summary>
    /// <param name="free">Classes that may move, or be given up.</param>
    /// <param name="stuck">Classes that stay though they are broken.</param>
    /// <param name="byPrice">Whether a student's place is weighed against changes, not put before all of them.</param>
    /// <param name="known">A plan that is allowed too: nothing worse is given; null knows none.</param>
    public SolvedFreedom? Solve(IReadOnlySet<int> free, IReadOnlySet<int> stuck, bool byPrice, IReadOnlyList<Placement>? known)
    {
        var fixedOnes = published.Placed.Where(p => !free.Contains(p.Class)).ToArray();
        var worth = byPrice ? terms.ChangesAStudent!.Value : MostChangesOfAClass * free.Count + 1;
        long Cost(IEnumerable<Placement> placed) => placed.Where(p => free.Contains(p.Class))
            .Sum(p => (long)MendedClass.Changes(before[p.Class], p) - worth * season.Classes[p.Class].Students);
        if (Placed(fixedOnes, free, worth, known, Cost) is not { } found)
            return known is null ? null : new(known, false);
        var all = WithAllThatFit([.. fixedOnes, .. Returned(fixedOnes, found.Placed)], stuck);
        var placed = found.Proved ? all : Polished(all, worth, Cost);
        return known is not null && Cost(known) < Cost(placed) ? new(known, false) : new(placed, found.Proved);
    }

    // Cut short, a search leaves many moved that need not be: a few at a time are placed anew, the others staying as found.
    private Placement[] Polished(Placement[] placed, int worth, Func<IEnumerable<Placement>, long> cost)
    {
        int[] moved = [.. placed.Where(p => p != before[p.Class]).OrderBy(p => p.Machine.Slot).ThenBy(p => p.Class).Select(p => p.Class)];
        for (var from = 0; from < moved.Length; from += PolishedAtOnce / 2)
        {
            var few = moved.Skip(from).Take(PolishedAtOnce).ToHashSet();
            var others = placed.Where(p => !few.Contains(p.Class)).ToArray();
            if (Placed(others, few, worth, placed, cost) is { } found && cost(found.Placed) < cost(placed.Where(p => few.Contains(p.Class))))
                placed = [.. others, .. found.Placed];
        }
        return [.. placed.OrderBy(p => p.Class)];
    }

    /// <summary>
    /// The placements with classes that were given up put back, where a few others that stand in the way can make room: found
    /// quickly and not the best, it is what larger searches start from.
    /// </summary>
    public IReadOnlyList<Placement> WithRoomMade(IReadOnlyList<Placement> placed)
    {
        var given = published.Placed.Where(p => placed.All(held => held.Class != p.Class));
        foreach (var c in given.Select(p => p.Class).OrderByDescending(c => season.Classes[c].Students).ThenBy(c => c).ToArray())
            if (Moved(placed, c) is { } moved && moved.Changed.All(IsAllowed))
                placed = moved.Plan.Placed;
        return placed;
    }

    private MovedClass? Moved(IReadOnlyList<Placement> placed, int @class) => MoveOneClass.Find(
        season, new(placed), @class, (site, slot) => !frozen.IsFrozen(@class, site, slot), new() { Seed = terms.Seed }, cancel);

    private bool IsAllowed(Placement to) => !to.Sessions.Select((session, kind) => (session, kind))
        .Any(at => frozen.Forbids(before[to.Class], at.kind, to.Site, at.session));

    private SolvedFreedom? Placed(
        Placement[] fixedOnes, IReadOnlySet<int> free, int worth, IReadOnlyList<Placement>? known, Func<IEnumerable<Placement>, long> cost)
    {
        var load = new SeasonLoad(season, ways);
        foreach (var p in fixedOnes)
            load.Add(p);
        var model = new PlacementModel(season, free.Order().Select(c => ways[c]), load);
        model.Forbid((c, kind, site, session) => frozen.Forbids(before[c], kind, site, session));
        model.Hold(free.Where(c => frozen.Any(before[c])).ToHashSet());
        var costs = model.Changes(before) - model.Students * worth;
        // Without a hint a search with many free classes was seen to find nothing at all.
        var hint = (known ?? published.Placed.Where(p => !broken.Contains(p.Class))).Where(p => free.Contains(p.Class)).ToArray();
        if (Least(model, costs, hint) is not { Placed: { } first } cheapest)
            return null;
        model.Add(costs <= cost(first));
        var second = Least(model, model.Points, first);
        return new(second.Placed ?? first, cheapest.Proved && second.Proved);
    }

    private SolvedModel Least(PlacementModel model, LinearExpr what, IReadOnlyList<Placement> hint)
    {
        model.Minimize(what);
        model.Hint(hint.ToDictionary(p => p.Class));
        return model.Solve(terms.StageSeconds, terms.Seed, cancel);
    }

    // Of a search that was cut short: nobody is moved for nothing.
    private List<Placement> Returned(Placement[] fixedOnes, IReadOnlyList<Placement> placed)
    {
        List<Placement> kept = [.. placed];
        for (var at = 0; at < kept.Count; at++)
        {
            var (now, was) = (kept[at], before[kept[at].Class]);
            kept[at] = was;
            if (now != was && Breaks([.. fixedOnes, .. kept], was.Class))
                kept[at] = now;
        }
        return kept;
    }

    // That a class has no place is said by two that share no code: the solver, and a look at all its placements.
    private Placement[] WithAllThatFit(List<Placement> placed, IReadOnlySet<int> stuck)
    {
        foreach (var given in published.Placed.Where(p => placed.TrueForAll(held => held.Class != p.Class)).ToArray())
            if (!stuck.Contains(given.Class) && Fits(placed, given.Class) is { } way)
                placed.Add(way);
        return [.. placed.OrderBy(p => p.Class)];
    }

    private Placement? Fits(List<Placement> placed, int @class)
    {
        var request = season.Classes[@class];
        var firstDay = Enumerable.Range(0, season.Days)
            .FirstOrDefault(day => request.Sites.All(site => !frozen.IsFrozen(@class, site, 2 * day)), season.Days);
        var later = new ChangedSeason(season, published).WithClass(@class, c => c with { FirstDay = Math.Max(c.FirstDay, firstDay) });
        return PlacementSearch.Run(later.Season, placed, @class, new(Days: 0, SiteMinutes: -1)).Fits;
    }

    private bool Breaks(IReadOnlyList<Placement> placed, int @class) =>
        PlanChecker.Check(season, new(placed)).Any(fault => fault.Classes.Contains(@class));
}
