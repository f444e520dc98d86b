using Pourwright.Planning.Checking;
using Pourwright.Planning.Greedy;
using Pourwright.Planning.Season;
using Pourwright.Planning.Tests.Generated;

namespace Pourwright.Planning.Tests.Greedy;

public sealed class GreedyPlannerTests
{
    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    public void All_OfAnInventedSeason_AreTwentyThreePlansThatKeepEveryRule(int seed)
    {
        var season = SyntheticSeason.Make(sites: 3, weeks: 6, classes: 40, seed);
        ClassPlan[] plans = [.. GreedyPlanner.All(season, seed)];
        Assert.Equal(23, plans.Length);
        Assert.All(plans, plan => Assert.Empty(PlanChecker.Check(season, plan).Select(fault => fault.Text(season))));
        Assert.Equal(plans.Max(plan => plan.Students(season)), GreedyPlanner.Best(season, seed).Students(season));
    }

    [Fact]
    public void FirstFit_BooksInTheOrderOfTheRequestsAndMovesNobody()
    {
        // What is booked for the first ten does not depend on those who come later.
        var season = SyntheticSeason.Make(sites: 3, weeks: 6, classes: 40, seed: 3);
        var early = GreedyPlanner.FirstFit(season with { Classes = [.. season.Classes.Take(10)] });
        Assert.Equal(early.Placed, GreedyPlanner.FirstFit(season).Placed.Where(p => p.Class < 10));
    }
}
