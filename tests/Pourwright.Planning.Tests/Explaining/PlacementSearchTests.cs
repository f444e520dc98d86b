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
            var minimal = Minimal(Everywhere(season, c).Select(p => Broken(season, plan, p)));
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

    private static int Broken(SeasonCase season, ClassPlan plan, Placement p) =>
        RuleSet.Of(new ChangedSeason(season, new([.. plan.Placed, p])).FaultsOf([p.Class]).Select(fault => fault.Rule)).Bits;

    private static int[] Minimal(IEnumerable<int> sets)
    {
        var all = sets.ToHashSet();
        return [.. all.Where(set => !all.Any(other => other != set && (other & ~set) == 0))];
    }

    private static IEnumerable<Placement> Everywhere(SeasonCase season, int @class)
    {
        var request = season.Classes[@class];
        var offering = season.Offerings[request.Offering];
        var people = Enumerable.Range(0, season.Instructors.Count).ToArray();
        return
            from site in Enumerable.Range(0, season.Sites.Count)
            where request.Sites.Any(asked => season.TravelMinutes[asked][site] <= Reach.SiteMinutes)
            from pour in Slots(season, request.FirstDay - Reach.Days, request.LastDay + Reach.Days)
            from machine in Slots(season, pour / 2 + 1, pour / 2 + offering.LongestGapDays + Reach.Days)
            where machine % 2 == 0
            from finish in offering.Finish is { } rule
                ? Slots(season, machine / 2 + 1, machine / 2 + rule.WithinDays + Reach.Days).Select(slot => (int?)slot) : [null]
            from one in people
            from two in people
            from three in finish is null ? [0] : people
            select new Placement(@class, site, new(pour, one), new(machine, two), finish is { } last ? new(last, three) : null);
    }

    private static IEnumerable<int> Slots(SeasonCase season, int firstDay, int lastDay)
    {
        var (first, last) = (Math.Max(0, firstDay), Math.Min(season.Days - 1, lastDay));
        return Enumerable.Range(2 * first, Math.Max(0, 2 * (last - first + 1)));
    }
}
