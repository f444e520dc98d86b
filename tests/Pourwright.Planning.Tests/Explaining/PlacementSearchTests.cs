using Pourwright.Planning.Checking;
using Pourwright.Planning.Explaining;
using Pourwright.Planning.Greedy;
using Pourwright.Planning.Season;
using Pourwright.Planning.Tests.Generated;

namespace Pourwright.Planning.Tests.Explaining;

public class PlacementSearchTests
{
    private static readonly SearchReach Reach = new(Days: 2, SiteMinutes: 150);

    // Every placement within reach, by every person for each session, checked one by one.
    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    [InlineData(4)]
    public void Explain_AgainstEveryPlacementChecked_FindsTheMinimalCorrectionsAndConflicts(int seed)
    {
        var season = SyntheticSeason.Make(2, 3, 11, seed, load: 1.4);
        var plan = GreedyPlanner.FirstFit(season);
        foreach (var c in Unplaced(season, plan).Take(1))
        {
            var minimal = EveryPlacement.MinimalCorrections(season, plan, c, Reach);
            var explained = new ClassExplainer(season, plan, Reach).Explain(c);
            Assert.Equal(minimal.Order(), explained.Obstacles.Select(o => o.Rules.Bits).Order());
            Assert.All(explained.Conflicts, conflict => Assert.All(minimal, set => Assert.NotEqual(0, set & conflict.Bits)));
            Assert.All(explained.Conflicts, conflict => Assert.All(conflict.Rules, rule =>
                Assert.Contains(minimal, set => (set & conflict.Bits) == 1 << (int)rule)));
        }
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    public void Explain_OfASeason_ProposesWhatHoldsAndNothingIdle(int seed)
    {
        var season = SyntheticSeason.Make(3, 6, 40, seed, load: 1.3);
        var plan = GreedyPlanner.FirstFit(season);
        foreach (var c in Unplaced(season, plan))
        {
            var explained = new ClassExplainer(season, plan).Explain(c);
            Assert.NotEmpty(explained.Proposals);
            foreach (var proposal in explained.Proposals)
            {
                var changed = ChangedSeason.Of(season, plan, proposal, null);
                Assert.Empty(PlanChecker.Check(changed.Season, changed.Plan));
                Assert.All(proposal.Changes, idle => Assert.NotEmpty(FaultsWithout(season, plan, proposal, idle)));
            }
        }
    }

    [Fact]
    public void Explain_AClassThatTheGreedyPlannerPlaced_FitsWhereItWas()
    {
        var season = SyntheticSeason.Make(3, 6, 40, 5);
        var plan = GreedyPlanner.FirstFit(season);
        Assert.All(plan.Placed, p => Assert.NotNull(new ClassExplainer(season, plan).Explain(p.Class).Fits));
    }

    private static IReadOnlyList<PlanFault> FaultsWithout(SeasonCase season, ClassPlan plan, Proposal proposal, Change idle)
    {
        var less = proposal with { Changes = [.. proposal.Changes.Where(change => change != idle)] };
        int[] touched = [proposal.Placement.Class, .. proposal.Changes.OfType<Change.MoveClass>().Select(move => move.To.Class)];
        return ChangedSeason.Of(season, plan, less, null).FaultsOf(touched);
    }

    private static IEnumerable<int> Unplaced(SeasonCase season, ClassPlan plan) =>
        Enumerable.Range(0, season.Classes.Count).Except(plan.Placed.Select(p => p.Class));
}
