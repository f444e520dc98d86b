using Pourwright.Evidence.Reconciling;

namespace Pourwright.Evidence.Tests.Reconciling;

public sealed class MassReconciliationTests
{
    private const long Gram = 1000;

    // An invented recall: received, used, counted, thrown away, in g; a scale of 5 g, a weighing each.
    // B-56: 9000 − 1300 − 7690 = 10 g are missing, inside 9 weighings of 5 g.
    [Theory]
    [InlineData("A-101", 20000, 8000, 11980, 20, 0, Closure.Closes)]
    [InlineData("A-102", 10000, 10000, 0, 0, 0, Closure.Closes)]
    [InlineData("A-TANK-1", 11950, 4000, 7950, 0, 0, Closure.Closes)]
    [InlineData("B-55", 9000, 3700, 5300, 0, 0, Closure.Closes)]
    [InlineData("B-56", 9000, 1300, 7690, 0, 10, Closure.Closes)]
    [InlineData("P-7", 500, 10, 490, 0, 0, Closure.Closes)]
    public void Unexplained_InventedRecall_HasItsSign(string lot, long received, long used, long left, long waste, long unexplained, Closure closure)
    {
        var balance = new MassReconciliation(lot, received * Gram, used * Gram, left * Gram, waste * Gram, new(9, 5 * Gram));
        Assert.Equal((unexplained * Gram, closure), (balance.UnexplainedMg, balance.Closure));
    }

    // The mixes of the same recall, used up: cup = poured + thrown away, as M-2: 3000 = 2950 + 50.
    [Theory]
    [InlineData("M-1", 4480, 4400, 80)]
    [InlineData("M-2", 3000, 2950, 50)]
    [InlineData("M-3", 3590, 3500, 90)]
    [InlineData("M-4", 2400, 2350, 50)]
    [InlineData("M-5", 1495, 1400, 95)]
    public void Unexplained_MixesOfTheRecall_IsNothing(string mix, long cup, long poured, long waste) =>
        Assert.Equal(0, new MassReconciliation(mix, cup * Gram, poured * Gram, 0, waste * Gram, new(0, 0)).UnexplainedMg);

    // 4 weighings of 1 g and 2 pots of 3 g leave 10 g open, either way.
    [Theory]
    [InlineData(990_000, Closure.Closes)]
    [InlineData(989_999, Closure.Missing)]
    [InlineData(1_010_000, Closure.Closes)]
    [InlineData(1_010_001, Closure.TooMuch)]
    public void Closure_AtTheTolerance_TurnsByAMilligram(long leftMg, Closure closure)
    {
        var balance = new MassReconciliation("A-1", 1000 * Gram, 0, leftMg, 0, new(4, Gram, 2, 3 * Gram));
        Assert.Equal(10 * Gram, balance.Tolerance.Mg);
        Assert.Equal(closure, balance.Closure);
    }

    [Fact]
    public void Closure_NobodyCounted_IsUnknownAndNotFine()
    {
        var balance = new MassReconciliation("A-1", 1000, 1000, null, 0, new(9, 1000));
        Assert.Equal((null, Closure.NotCounted), (balance.UnexplainedMg, balance.Closure));
    }

    [Fact]
    public void Mass_BelowNothing_IsRefused()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => new MassReconciliation("A-1", -1, 0, 0, 0, new(1, 1)));
        Assert.Throws<ArgumentOutOfRangeException>(() => new WeighingTolerance(-1, 1));
    }
}
