using Pourwright.Planning.Checking;
using Pourwright.Planning.Greedy;
using Pourwright.Planning.Season;
using Pourwright.Planning.Solving;
using Pourwright.Planning.Tests.Generated;

namespace Pourwright.Planning.Tests.Solving;

public sealed class SeasonSolverTests
{
    private static readonly PlanEffort Light = new() { Coolings = 2, RoundsAClass = 20, BoundSteps = 100 };

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    [InlineData(4)]
    [InlineData(5)]
    [InlineData(6)]
    [InlineData(7)]
    [InlineData(8)]
    public void Solve_OfATinySeason_IsTheBestOfAllPlans(int seed)
    {
        var season = TinySeason.Make(seed);
        var solved = Solve(season, Light);
        Assert.True(solved.PointsProved);
        Assert.Equal(BruteForce.Best(season, plan => PlanPoints.Of(season, plan).Total), (solved.Students, solved.Points));
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public void Solve_WithoutProof_BoundsTheBestOfAllPlans(int seed)
    {
        var season = TinySeason.Make(seed);
        var solved = Solve(season, Light with { ProvedClasses = 0, Coolings = 1 });
        Assert.InRange(BruteForce.Best(season, plan => PlanPoints.Of(season, plan).Total).Students, solved.Students, solved.StudentsBound);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    public void Solve_OfPermutedClasses_FindsTheSameOptimum(int seed)
    {
        var season = SyntheticSeason.Make(sites: 1, weeks: 4, classes: 7, seed);
        var permuted = season with { Classes = [.. season.Classes.OrderBy(c => c.Students).ThenByDescending(c => c.Id)] };
        var (one, other) = (Solve(season, Light), Solve(permuted, Light));
        Assert.True(one.PointsProved && other.PointsProved);
        Assert.Equal((one.Students, one.Points), (other.Students, other.Points));
    }

    [Fact]
    public void Solve_OfALargeSeason_HoldsMoreStudentsThanAnyGreedyOrder()
    {
        var season = SyntheticSeason.Make(sites: 5, weeks: 8, classes: 60, seed: 1);
        var solved = Solve(season, Light with { RoundsAClass = 100 });
        Assert.True(solved.Students > GreedyPlanner.Best(season, 1).Students(season), $"{solved.Students}");
        Assert.InRange(solved.StudentsBound, solved.Students, season.Classes.Sum(c => c.Students));
    }

    [Fact]
    public void Solve_TwiceWithOneSeed_GivesOnePlan()
    {
        var season = SyntheticSeason.Make(sites: 6, weeks: 8, classes: 40, seed: 2); // two regions, searched side by side
        Assert.Equal(Solve(season, Light).Plan.Placed, Solve(season, Light).Plan.Placed);
    }

    [Fact]
    public void Solve_Cancelled_KeepsTheBestUntilThen()
    {
        var season = SyntheticSeason.Make(sites: 5, weeks: 8, classes: 60, seed: 3);
        using var cancel = new CancellationTokenSource();
        List<PlanProgress> told = [];
        var solved = SeasonSolver.Solve(season, Light with { Coolings = 20 }, new Told(now =>
        {
            told.Add(now);
            if (now.Stage == PlanStage.Searching) cancel.Cancel();
        }), cancel.Token);
        Assert.Empty(PlanChecker.Check(season, solved.Plan));
        Assert.Equal([PlanStage.Starting, PlanStage.Searching], told.Select(now => now.Stage).Take(2));
        Assert.Equal(told[1].Students, solved.Students);
        Assert.True(solved.Students >= GreedyPlanner.Best(season, 1).Students(season));
    }

    [Fact]
    public void Solve_TellsOfNeitherFewerStudentsNorAWiderBoundAsItGoesOn()
    {
        List<PlanProgress> told = [];
        var season = SyntheticSeason.Make(sites: 5, weeks: 8, classes: 60, seed: 4);
        SeasonSolver.Solve(season, Light, new Told(told.Add), CancellationToken.None);
        Assert.Equal(PlanStage.Done, told[^1].Stage);
        Assert.All(told.Zip(told.Skip(1)), pair => Assert.True(pair.First.Students <= pair.Second.Students && pair.First.StudentsBound >= pair.Second.StudentsBound));
    }

    [Fact]
    public void Solve_OfASeasonWithoutClasses_IsAnEmptyPlanAndProved()
    {
        var solved = Solve(SmallSeason.Season with { Classes = [] }, Light);
        Assert.Empty(solved.Plan.Placed);
        Assert.True(solved.PointsProved);
    }

    // Whatever is asked of a plan, it keeps every rule, and its figures are those counted anew.
    private static SolvedPlan Solve(SeasonCase season, PlanEffort effort)
    {
        var solved = SeasonSolver.Solve(season, effort, null, CancellationToken.None);
        Assert.Empty(PlanChecker.Check(season, solved.Plan).Select(fault => fault.Text(season)));
        Assert.Equal((solved.Plan.Students(season), PlanPoints.Of(season, solved.Plan).Total), (solved.Students, solved.Points));
        return solved;
    }

    private sealed class Told(Action<PlanProgress> tell) : IProgress<PlanProgress>
    {
        public void Report(PlanProgress value) => tell(value);
    }
}
