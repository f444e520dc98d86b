using Pourwright.Planning.Checking;
using Pourwright.Planning.Season;
using Pourwright.Planning.Solving;
using Pourwright.Planning.Tests.Generated;

namespace Pourwright.Planning.Tests.Solving;

public sealed class MoveOneClassTests
{
    [Fact]
    public void Find_WhereTheClassCanMoveAlone_LeavesTheOthersAndCostsLeast()
    {
        var season = SmallSeason.Season;
        var moved = MoveOneClass.Find(season, SmallSeason.Plan, 1, null, new(), CancellationToken.None)!;
        Assert.True(moved.Proved);
        Assert.Equal([1], moved.Changed.Select(p => p.Class));
        Assert.Empty(PlanChecker.Check(season, moved.Plan));
        // All ways of elm beside oak and ash as they are, but for Tuesday in the north.
        var others = SmallSeason.Plan.Placed.Where(p => p.Class != 1).ToArray();
        var (_, points) = BruteForce.Best(season, plan => PlanPoints.Of(season, plan).Total,
            p => p.Class == 1 ? p.Site != 0 || p.Pour.Day != 1 : others.Contains(p));
        Assert.Equal(points, PlanPoints.Of(season, moved.Plan).Total);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(5)]
    [InlineData(9)]
    [InlineData(11)]
    public void Find_OfATinyPlan_ChangesAsFewSessionsAsAnyPlanCould(int seed)
    {
        var season = TinySeason.Make(seed);
        var plan = SeasonSolver.Solve(season, new() { Coolings = 1 }, null, CancellationToken.None).Plan;
        foreach (var was in plan.Placed)
        {
            bool Other(Placement p) => p.Class != was.Class || p.Site != was.Site || p.Pour.Day != was.Pour.Day;
            var moved = MoveOneClass.Find(season, plan, was.Class, null, new(), CancellationToken.None);
            bool Stays(Placement p) => plan.Placed.Contains(p);
            var alone = BruteForce.Best(season, p => PlanPoints.Of(season, p).Total, p => p.Class == was.Class ? Other(p) : Stays(p));
            if (alone.Students == plan.Students(season))
                Assert.Equal(alone.Cost, PlanPoints.Of(season, moved!.Plan).Total);
            else if (moved is not null)
            {
                Assert.Empty(PlanChecker.Check(season, moved.Plan));
                Assert.Equal(plan.Students(season), moved.Plan.Students(season));
            }
        }
    }
}
