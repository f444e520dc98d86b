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

    // Tiny plans in which some class can move only if another makes room, found by trying seeds.
    [Theory]
    [InlineData(12)]
    [InlineData(16)]
    [InlineData(23)]
    [InlineData(24)]
    [InlineData(32)]
    [InlineData(34)]
    [InlineData(60)]
    public void Find_WhereOthersMustMakeRoom_ChangesAsFewSessionsAsAnyPlanCould(int seed)
    {
        var (season, plan) = Tiny(seed);
        var together = plan.Placed.Select(was => (Was: was, Moved: MoveOneClass.Find(season, plan, was.Class, null, new(), CancellationToken.None)))
            .Where(one => one.Moved is { Freed.Count: > 1 }).ToArray();
        Assert.NotEmpty(together);
        foreach (var (was, moved) in together)
        {
            Assert.True(moved!.Proved);
            Assert.Empty(PlanChecker.Check(season, moved.Plan));
            bool Allowed(Placement p) => p.Class == was.Class ? Elsewhere(was, p) : moved.Freed.Contains(p.Class) || plan.Placed.Contains(p);
            var (students, cost) = BruteForce.Best(season, other => Cost(season, plan, other), Allowed);
            Assert.Equal((students, cost), (moved.Plan.Students(season), Cost(season, plan, moved.Plan)));
        }
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(5)]
    [InlineData(9)]
    public void Find_WhereTheClassCanMoveAlone_CostsNoMoreThanAnyOtherPlaceOfIt(int seed)
    {
        var (season, plan) = Tiny(seed);
        foreach (var was in plan.Placed)
        {
            var moved = MoveOneClass.Find(season, plan, was.Class, null, new() { Neighbours = 0 }, CancellationToken.None);
            var alone = BruteForce.Best(season, other => PlanPoints.Of(season, other).Total,
                p => p.Class == was.Class ? Elsewhere(was, p) : plan.Placed.Contains(p));
            Assert.Equal(alone.Students == plan.Students(season) ? alone.Cost : null, moved is null ? null : (int?)PlanPoints.Of(season, moved.Plan).Total);
        }
    }

    [Fact]
    public void Find_WhereNothingIsAllowed_FindsNothing() =>
        Assert.Null(MoveOneClass.Find(SmallSeason.Season, SmallSeason.Plan, 1, (_, _) => false, new(), CancellationToken.None));

    private static (SeasonCase Season, ClassPlan Plan) Tiny(int seed) =>
        TinySeason.Make(seed) is var season ? (season, SeasonSolver.Solve(season, new() { Coolings = 1 }, null, CancellationToken.None).Plan) : default;

    private static bool Elsewhere(Placement was, Placement p) => p.Site != was.Site || p.Pour.Day != was.Pour.Day;

    // A session at another time or place counts 1, with another person 2; points decide among equals.
    private static int Cost(SeasonCase season, ClassPlan before, ClassPlan after) => PlanPoints.Of(season, after).Total + 10_000 * after.Placed.Sum(p =>
    {
        var was = before.Placed.First(other => other.Class == p.Class);
        return p.Sessions.Zip(was.Sessions).Sum(pair =>
            (pair.First.Slot != pair.Second.Slot || p.Site != was.Site ? 1 : 0) + (pair.First.Instructor != pair.Second.Instructor ? 2 : 0));
    });
}
