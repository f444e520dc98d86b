using Pourwright.Planning.LotUse;

namespace Pourwright.Planning.Tests.LotUse;

/// <summary>Masses are small whole numbers: the rule does not know that they are mg.</summary>
public sealed class FirstExpiringTests
{
    // Need 5: 3 from what expires at 20, 2 from what expires at 30; the can that expires at 10 is past when the class pours at 10.
    [Fact]
    public void Plan_OfAClass_TakesWhatExpiresFirstAndIsStillGood()
    {
        var plan = FirstExpiring.Plan(Stocks.Of([new("c1", 10, 5, 0)],
            Stocks.A("late", "l2", 9, 30), Stocks.A("soon", "l1", 3, 20), Stocks.A("past", "l0", 9, 10)));
        Assert.Equal([new(0, 1, 3), new(0, 0, 2)], plan.Draws);
        Assert.Equal((0, 1), (plan.MissingTotalMg, plan.MixedClasses));
    }

    // Expires at 20 with a margin of 5: good for a pour at 14, not at 15 (15 + 5 = 20).
    [Theory]
    [InlineData(14, 0)]
    [InlineData(15, 4)]
    public void Plan_WithinTheMarginOfTheExpiry_LeavesTheCan(long pour, long missing) =>
        Assert.Equal(missing, FirstExpiring.Plan(Stocks.Of([new("c1", pour, 4, 0)], Stocks.A("can", "l1", 9, 20)) with { MarginMs = 5 }).MissingTotalMg);

    // Opened at 10 with a life of 7: good before 17.
    [Theory]
    [InlineData(16, 0)]
    [InlineData(17, 4)]
    public void Plan_ACanThatAnEarlierClassOpened_LastsItsOpenedLife(long second, long missing) =>
        Assert.Equal(missing, FirstExpiring.Plan(Stocks.Of([new("c1", 10, 4, 0), new("c2", second, 4, 0)],
            Stocks.A("can", "l1", 9, 100, openedLife: 7))).MissingTotalMg);

    [Fact]
    public void Plan_OfTooLittle_GivesItToTheEarlierClass()
    {
        var plan = FirstExpiring.Plan(Stocks.Of([new("c1", 10, 4, 1), new("c2", 20, 4, 1)], Stocks.A("can", "l1", 5, 100), Stocks.B("hard", "h1", 9, 100)));
        Assert.Equal((0, 3), (plan.MissingMg(0, StockPart.A), plan.MissingMg(1, StockPart.A)));
        Assert.Equal(0, plan.MissingMg(1, StockPart.B));
    }
}
