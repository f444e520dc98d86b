using Pourwright.Planning.Season;
using Pourwright.Planning.Solving;

namespace Pourwright.Planning.Explaining;

/// <summary>Says why one class has no place beside a plan, and proposes what gives it one.</summary>
/// <param name="season">What the plan is of.</param>
/// <param name="plan">Which classes have a place.</param>
/// <param name="reach">How far to look.</param>
/// <param name="warming">What the cure model says of a warmer room; null where nobody may be asked to warm one.</param>
/// <param name="mayMove">Which classes of the plan may be moved for another; null where all may.</param>
public sealed class ClassExplainer(
    SeasonCase season, ClassPlan plan, SearchReach? reach = null, IWarming? warming = null, Func<int, bool>? mayMove = null)
{
    // Of the constraint solver, in its deterministic s: an answer is wanted while somebody waits. On two invented seasons 0.5 s found
    // moves for 52 of 60 classes, 0.2 s for 48, 0.1 s for 44.
    private const double MovingSeconds = 0.15;

    private readonly SearchReach reach = reach ?? new();

    /// <summary>The class is looked at as if it were not in the plan; everything else in it stays.</summary>
    public Explanation Explain(int @class)
    {
        var others = new ClassPlan([.. plan.Placed.Where(p => p.Class != @class)]);
        var smallest = PlacementSearch.Run(season, others.Placed, @class, reach);
        if (smallest.Fits is { } fits)
            return new(@class, fits, false, [], [], []);
        var obstacles = smallest.All
            .SelectMany(set => set.Ways.Select(way => (way.Strain, Obstacle: ObstacleTo(others, set.Rules, way.Placement))))
            .ToArray();
        return new(
            @class, null, PlacementSearch.Run(season, [], @class, new(0, -1)).Fits is null,
            MinimalConflicts.Of(smallest.Sets),
            [.. obstacles.GroupBy(o => o.Obstacle.Rules).Select(set => set.First().Obstacle)],
            Proposals(others, @class, obstacles));
    }

    private Obstacle ObstacleTo(ClassPlan others, RuleSet rules, Placement placement) =>
        new(rules, placement, new ChangedSeason(season, Nearby(others, placement)).FaultsOf([placement.Class]));

    // What can meet the placement at all: the same site, or the same people.
    private static ClassPlan Nearby(ClassPlan others, Placement placement) => new([.. others.Placed.Where(p => p.Site == placement.Site
        || p.Sessions.Any(s => placement.Sessions.Any(mine => mine.Instructor == s.Instructor))), placement]);

    private List<Proposal> Proposals(ClassPlan others, int @class, IEnumerable<(double Strain, Obstacle Obstacle)> obstacles)
    {
        var kept = new List<Proposal>();
        if (reach.Proposals == 0)
            return kept;
        var changes = new ChangeFinder(season, others, warming);
        foreach (var proposal in obstacles
            .Select(o => (o.Strain, Proposal: changes.Of(o.Obstacle)))
            .Append((Strain: 0, Proposal: Moving(others, @class)))
            .Where(o => o.Proposal is not null)
            .OrderBy(o => o.Proposal!.Changes.Count).ThenBy(o => o.Strain)
            .Select(o => o.Proposal!))
            if (kept.Count < reach.Proposals && !kept.Exists(less => IsPartOf(less, proposal)) && Holds(others, proposal))
                kept.Add(proposal);
        return kept;
    }

    private Proposal? Moving(ClassPlan others, int @class)
    {
        if (reach.Neighbours == 0)
            return null;
        var effort = new MoveEffort { Neighbours = reach.Neighbours, Seconds = MovingSeconds };
        if (MoveOneClass.Find(season, others, @class, null, effort, CancellationToken.None) is not { } moved
            || moved.Changed.Any(p => p.Class != @class && mayMove?.Invoke(p.Class) == false))
            return null;
        var change = moved.Changed.Where(p => p.Class != @class)
            .Select(to => new Change.MoveClass(others.Placed.First(p => p.Class == to.Class), to));
        return WithoutIdle(others, new([.. change], moved.Changed.First(p => p.Class == @class)));
    }

    // A search that was cut short may have moved somebody for nothing.
    private Proposal WithoutIdle(ClassPlan others, Proposal moving)
    {
        foreach (var move in moving.Changes)
            if (moving with { Changes = [.. moving.Changes.Where(c => c != move)] } is var without && Holds(others, without))
                moving = without;
        return moving;
    }

    // Who may call one person in need not be told of calling in two; a choice between ways is what people want to see.
    private static bool IsPartOf(Proposal less, Proposal more) => less.Changes.GroupBy(c => c.GetType())
        .All(kind => more.Changes.Count(c => c.GetType() == kind.Key) >= kind.Count());

    private bool Holds(ClassPlan others, Proposal proposal)
    {
        int[] touched = [proposal.Placement.Class, .. proposal.Changes.OfType<Change.MoveClass>().Select(move => move.To.Class)];
        return ChangedSeason.Of(season, others, proposal, warming).FaultsOf(touched).Count == 0;
    }
}
