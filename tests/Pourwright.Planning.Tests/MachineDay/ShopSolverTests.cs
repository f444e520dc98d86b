using CsCheck;
using Pourwright.Planning.MachineDay;

namespace Pourwright.Planning.Tests.MachineDay;

/// <summary>Shops whose least makespan is known without a solver.</summary>
public sealed class ShopSolverTests
{
    private static readonly CancellationToken Cancelled = new(canceled: true);

    /// <summary>Johnson 1954: first those quicker on the first machine, by rising minutes there; then the others by falling
    /// minutes on the second.</summary>
    [Fact]
    public void TwoMachines_TakeAsLongAsJohnsonsOrder() => Gen.Select(Gen.Int[1, 30], Gen.Int[1, 30]).Array[1, 12].Sample(jobs =>
        Assert.Equal(Johnson(jobs), Proved(Flow([1, 1], [.. jobs.Select(j => (0, new[] { j.Item1, j.Item2 }))]))), iter: 100);

    /// <summary>N pieces through one place a stage: the slowest stage is never idle between its first and its last.</summary>
    [Fact]
    public void IdenticalPieces_TakeOneLengthAndTheSlowestStageForEachFurther() =>
        Gen.Select(Gen.Int[1, 30].Array[1, 5], Gen.Int[1, 10]).Sample((minutes, pieces) => Assert.Equal(
            minutes.Sum() + (pieces - 1) * minutes.Max(),
            Proved(Flow([.. minutes.Select(_ => 1)], [.. Enumerable.Repeat((0, minutes), pieces)]))), iter: 50);

    /// <summary>N pieces of p min at m places: ⌈N/m⌉ p.</summary>
    [Fact]
    public void OneStage_TakesItsRounds() =>
        Gen.Select(Gen.Int[1, 12], Gen.Int[1, 4], Gen.Int[1, 30]).Sample((pieces, places, p) => Assert.Equal(
            (pieces + places - 1) / places * p, Proved(Flow([places], [.. Enumerable.Repeat((0, new[] { p }), pieces)]))), iter: 50);

    /// <summary>Nobody is in anybody's way: the last one released with its own minutes ends the day.</summary>
    [Fact]
    public void PlacesForAll_WaitForReleasesOnly() =>
        Gen.Select(Gen.Int[0, 90], Gen.Int[1, 30]).Array[1, 8].Sample(jobs => Assert.Equal(
            jobs.Max(j => j.Item1 + 2 * j.Item2),
            Proved(Flow([jobs.Length, jobs.Length], [.. jobs.Select(j => (j.Item1, new[] { j.Item2, j.Item2 }))]))), iter: 50);

    /// <summary>Every order in which operations can be started, and every choice of stage: the best of them is the optimum.</summary>
    /// <remarks>The bound of arithmetic and the day without a plan lie on either side of it.</remarks>
    [Fact]
    public void SmallFlexibleShop_TakesAsLongAsTheBestOfAllOrders() => SmallShop.Sample(
        shop =>
        {
            var (best, start) = (EveryOrder.LeastMinutes(shop), ShopSolver.Solve(shop, ShopEffort.Day, Cancelled));
            Assert.Equal(best, Proved(shop));
            Assert.InRange(best, start.LowerBoundMinutes, start.MakespanMinutes);
        },
        iter: 100);

    [Fact]
    public void SameEffort_GivesTheSameSchedule()
    {
        var (shop, effort) = (ShopInstance.Read("ft10"), new ShopEffort { Work = 0.05, Seed = 3 });
        var (once, again) = (ShopSolver.Solve(shop, effort), ShopSolver.Solve(shop, effort));
        Assert.False(once.IsProved);
        Assert.Equal(once.Runs, again.Runs);
        Assert.Equal(once.LowerBoundMinutes, again.LowerBoundMinutes);
    }

    [Fact]
    public void Cancelled_BeforeTheSearch_GivesTheDayWithoutAPlan()
    {
        var shop = ShopInstance.Read("ft10");
        var schedule = ShopSolver.Solve(shop, ShopEffort.UntilProved, Cancelled);
        Assert.Empty(ShopChecker.Faults(shop, schedule));
        Assert.InRange(schedule.LowerBoundMinutes, 1, 930);
        Assert.InRange(schedule.MakespanMinutes, 931, 2000);
    }

    /// <summary>Nobody proves this one in a second, so the search ends because it was told to.</summary>
    [Fact]
    public void Cancelled_DuringTheSearch_KeepsTheBest()
    {
        var shop = ShopInstance.Read("la21");
        using var stop = new CancellationTokenSource(TimeSpan.FromSeconds(1));
        var schedule = ShopSolver.Solve(shop, ShopEffort.UntilProved, stop.Token);
        Assert.True(stop.IsCancellationRequested);
        Assert.Empty(ShopChecker.Faults(shop, schedule));
        Assert.False(schedule.IsProved);
        Assert.InRange(schedule.MakespanMinutes, 1046, DayOrder.Unplanned(shop).MakespanMinutes - 1);
    }

    [Fact]
    public void NothingToDo_EndsAtOnce() => Assert.Equal(0, Proved(new([new("planer")], [])));

    [Theory]
    [InlineData(0, 0, 0, 10, "Stage planer has 0 places; give it one or more, or leave it out.")]
    [InlineData(1, -5, 0, 10, "Job oak is released at -5 min; 0 is the start of the day.")]
    [InlineData(1, 0, 1, 10, "Job oak asks for stage 1; stages run from 0 to 0.")]
    [InlineData(1, 0, 0, 0, "Job oak takes 0 min at stage planer; 1 is the least.")]
    [InlineData(1, 0, 0, 20_000_000, "All minutes add up to 20000000; 10000000 can be solved: use a coarser unit.")]
    public void Case_OutOfRange_IsRefused(int places, int release, int stage, int minutes, string message) =>
        Assert.Equal(message, Assert.Throws<ArgumentException>(() =>
            new ShopCase([new("planer", places)], [new("oak", release, [new(stage, minutes)])])).Message);

    [Fact]
    public void Operation_NowhereToBeDone_IsRefused() => Assert.Equal(
        "Job oak has an operation that no stage can do; name a stage, or leave it out.",
        Assert.Throws<ArgumentException>(() => new ShopCase([new("planer")], [new("oak", 0, [new([])])])).Message);

    private static Gen<ShopCase> SmallShop { get; } =
        from places in Gen.Int[1, 2].Array[2, 3]
        from jobs in Gen.Select(Gen.Int[0, 15], Operation(places.Length).Array[1, 2]).Array[1, 3]
        select new ShopCase(
            [.. places.Select((p, s) => new ShopStage($"{s}", p))],
            [.. jobs.Select((job, j) => new ShopJob($"{j}", job.Item1, job.Item2))]);

    private static Gen<ShopOperation> Operation(int stages) =>
        Gen.Select(Gen.Int[0, stages - 1], Gen.Int[1, 12]).Array[1, 2]
            .Select(choices => new ShopOperation([.. choices.Select(c => new ShopChoice(c.Item1, c.Item2))]));

    private static int Proved(ShopCase shop)
    {
        var schedule = ShopSolver.Solve(shop, ShopEffort.Day);
        Assert.Empty(ShopChecker.Faults(shop, schedule));
        Assert.True(schedule.IsProved);
        return schedule.MakespanMinutes;
    }

    // Every job through every stage in turn.
    private static ShopCase Flow(int[] places, (int Release, int[] Minutes)[] jobs) => new(
        [.. places.Select((p, s) => new ShopStage($"{s}", p))],
        [.. jobs.Select((job, j) => new ShopJob($"{j}", job.Release, [.. job.Minutes.Select((m, s) => new ShopOperation(s, m))]))]);

    private static int Johnson((int First, int Second)[] jobs)
    {
        var order = jobs.Where(j => j.First < j.Second).OrderBy(j => j.First)
            .Concat(jobs.Where(j => j.First >= j.Second).OrderByDescending(j => j.Second));
        var (first, second) = (0, 0);
        foreach (var job in order)
        {
            first += job.First;
            second = Math.Max(first, second) + job.Second;
        }
        return second;
    }
}
