using Pourwright.Planning.Checking;
using Pourwright.Planning.Season;

namespace Pourwright.Planning.Explaining;

/// <summary>Says why one class has no place beside a plan, and proposes what gives it one.</summary>
/// <param name="warming">What the cure model says of a warmer room; null where nobody may be asked to warm one.</param>
public sealed class ClassExplainer(SeasonCase season, ClassPlan plan, SearchReach? reach = null, IWarming? warming = null)
{
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
            Proposals(others, obstacles));
    }

    private Obstacle ObstacleTo(ClassPlan others, RuleSet rules, Placement placement) =>
        new(rules, placement, new ChangedSeason(season, Nearby(others, placement)).FaultsOf([placement.Class]));

    // What can meet the placement at all: the same site, or the same people.
    private static ClassPlan Nearby(ClassPlan others, Placement placement) => new([.. others.Placed.Where(p => p.Site == placement.Site
        || p.Sessions.Any(s => placement.Sessions.Any(mine => mine.Instructor == s.Instructor))), placement]);

    private List<Proposal> Proposals(ClassPlan others, IEnumerable<(double Strain, Obstacle Obstacle)> obstacles)
    {
        var changes = new ChangeFinder(season, others, warming);
        var kept = new List<Proposal>();
        foreach (var proposal in obstacles
            .Select(o => (o.Strain, Proposal: changes.Of(o.Obstacle)))
            .Where(o => o.Proposal is not null)
            .OrderBy(o => o.Proposal!.Changes.Count).ThenBy(o => o.Strain)
            .Select(o => o.Proposal!))
            if (kept.Count < reach.Proposals && !kept.Exists(less => IsPartOf(less, proposal)) && Holds(others, proposal))
                kept.Add(proposal);
        return kept;
    }

    // Who may call one person in need not be told of calling in two; a choice between ways is what people want to see.
    private static bool IsPartOf(Proposal less, Proposal more) => less.Changes.GroupBy(c => c.GetType())
        .All(kind => more.Changes.Count(c => c.GetType() == kind.Key) >= kind.Count());

    private bool Holds(ClassPlan others, Proposal proposal) =>
        ChangedSeason.Of(season, others, proposal, warming).FaultsOf([proposal.Placement.Class]).Count == 0;
}
