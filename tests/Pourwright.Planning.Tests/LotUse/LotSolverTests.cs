using CsCheck;
using Pourwright.Planning.LotUse;

namespace Pourwright.Planning.Tests.LotUse;

/// <summary>Masses are small whole numbers, so that every plan can be counted.</summary>
public sealed class LotSolverTests
{
    // First-expiring first: c1 takes 3 of l1 and 1 of l2 (mixed), c2 takes 3 of l2. In whole lots: c1 4 of l2, c2 3 of l1; none is mixed.
    [Fact]
    public void Solve_WhereFirstExpiringWouldMixLots_GivesEachClassOne()
    {
        var stock = Stocks.Of([new("c1", 10, 4, 0), new("c2", 20, 3, 0)], Stocks.A("a1", "l1", 3, 90), Stocks.A("a2", "l2", 4, 95));
        Assert.Equal(1, FirstExpiring.Plan(stock).MixedClasses);

        var plan = LotSolver.Solve(stock);

        Assert.Equal([new(0, 1, 4), new(1, 0, 3)], plan.Draws);
        Assert.True(plan.IsProved);
    }

    // Both lots serve the one class whole; l1 expires at 50, inside of the window, and would be lost.
    [Fact]
    public void Solve_AmongWholeLots_TakesTheOneThatWouldExpire()
    {
        var plan = LotSolver.Solve(Stocks.Of([new("c1", 10, 4, 0)], Stocks.A("a2", "l2", 4, 200), Stocks.A("a1", "l1", 4, 50)));
        Assert.Equal([new(0, 1, 4)], plan.Draws);
        Assert.Equal(0, plan.WasteTotalMg);
    }

    // Nothing expires in the window: the earlier class still takes what expires earlier.
    [Fact]
    public void Solve_WhereNothingElseDecides_GivesEarlyClassesWhatExpiresEarly()
    {
        var plan = LotSolver.Solve(Stocks.Of([new("c1", 10, 4, 2), new("c2", 20, 4, 2)],
            Stocks.A("a2", "l2", 4, 300), Stocks.A("a1", "l1", 4, 200), Stocks.B("b2", "h2", 2, 300), Stocks.B("b1", "h1", 2, 200)));
        Assert.Equal([new(0, 1, 4), new(0, 3, 2), new(1, 0, 4), new(1, 2, 2)], plan.Draws);
    }

    // A sealed can opened by c1 at 10 is past at 15; left closed, it serves c2 and c3: the open can has enough for c1.
    [Fact]
    public void Solve_LeavesACanClosedWhereItsOpenedLifeWouldEnd()
    {
        var stock = Stocks.Of([new("c1", 10, 2, 0), new("c2", 20, 4, 0), new("c3", 24, 4, 0)],
            Stocks.A("sealed", "l1", 8, 60, openedLife: 5), Stocks.A("open", "l2", 2, 70));
        Assert.Equal(6, FirstExpiring.Plan(stock).MissingTotalMg);

        var plan = LotSolver.Solve(stock);

        Assert.Equal([new(0, 1, 2), new(1, 0, 4), new(2, 0, 4)], plan.Draws);
        Assert.Equal(0, plan.MissingTotalMg);
    }

    // The can holds two lots: whoever draws on it draws on both.
    [Fact]
    public void Solve_ATankOfTwoLots_MakesItsClassMixed() => Assert.Equal(1, LotSolver.Solve(
        Stocks.Of([new("c1", 10, 4, 0)], new StockContainer("tank", StockPart.A, ["l1", "l2"], 9, 90))).MixedClasses);

    [Fact]
    public void Solve_OfNothing_IsAnEmptyPlan() => Assert.Equal((0, true), (LotSolver.Solve(Stocks.Of([])).Draws.Count, LotSolver.Solve(Stocks.Of([])).IsProved));

    /// <summary>Everything that can be drawn at all is tried: nothing beats the solver in the order of its aims.</summary>
    [Fact]
    public void Solve_OfSmallStocks_IsAsGoodAsTheBestOfAllPlans() => SmallStocks.Sample(stock =>
    {
        var (plan, best) = (LotSolver.Solve(stock), EveryPlan.Best(stock));
        Assert.Empty(StockChecker.Faults(plan));
        Assert.True(plan.IsProved);
        Assert.Equal(best, Score(plan));
    }, iter: 150, threads: 1);

    /// <summary>No class misses more than by the plain rule, and no total is worse.</summary>
    [Fact]
    public void Solve_AnyStock_TakesNothingFromAnEarlierClass() => SmallStocks.Sample(stock =>
    {
        var (plan, rule) = (LotSolver.Solve(stock), FirstExpiring.Plan(stock));
        Assert.Empty(StockChecker.Faults(rule));
        foreach (var c in Enumerable.Range(0, stock.Classes.Count))
            Assert.True(plan.MissingMg(c, StockPart.A) <= rule.MissingMg(c, StockPart.A) && plan.MissingMg(c, StockPart.B) <= rule.MissingMg(c, StockPart.B));
        Assert.True(Score(plan).CompareTo(Score(rule)) <= 0);
    }, iter: 150, threads: 1);

    internal static (long Missing, int Mixed, long Waste) Score(StockPlan plan) => (plan.MissingTotalMg, plan.MixedClasses, plan.WasteTotalMg);

    // Two or three classes of 1 to 3, up to four cans of 1 to 4 in two lots, some sealed with a short life.
    private static readonly Gen<StockCase> SmallStocks =
        from needs in Gen.Select(Gen.Int[1, 3], Gen.Int[0, 2]).Array[2, 3]
        from cans in Gen.Select(Gen.Int[1, 4], Gen.Int[1, 2], Gen.Int[1, 8], Gen.Int[0, 3], Gen.Bool).Array[1, 4]
        select Stocks.Of(
            [.. needs.Select((need, i) => new StockNeed($"c{i}", 10 * (i + 1), need.Item1, need.Item2))],
            [.. cans.Select((can, i) => new StockContainer(
                $"can{i}", can.Item5 ? StockPart.A : StockPart.B, [$"lot{can.Item2}"], can.Item1, 15 * can.Item3, can.Item4 == 0 ? 5 + i : null))]);
}
