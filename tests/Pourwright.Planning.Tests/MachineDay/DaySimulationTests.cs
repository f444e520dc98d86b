using Pourwright.Planning.MachineDay;

namespace Pourwright.Planning.Tests.MachineDay;

public sealed class DaySimulationTests
{
    private static readonly SimulationTerms Many = new() { Days = 40_000 };

    /// <summary>100 min, 80 to 120 equally likely: nine of ten lie below 80 + 0.9 × 40 = 116.</summary>
    [Fact]
    public void OneOperation_IsOverByItsQuantile() => Assert.Equal(116, DaySimulation.P90Minutes(Stage(1, 1), Many), 0.3);

    /// <summary>
    /// The last of eight side by side: all lie below x with chance ((x − 80)/40)^8, which is 0.9 at 80 + 40 × 0.9^(1/8) = 119.48.
    /// </summary>
    [Fact]
    public void EightSideBySide_AreOverWithTheLast() =>
        Assert.Equal(80 + 40 * Math.Pow(0.9, 1 / 8.0), DaySimulation.P90Minutes(Stage(8, 8), Many), 0.05);

    /// <summary>
    /// Two in turn: the sum of two has the density of a triangle on 160 to 240, so one of ten lies above x where
    /// (240 − x)²/(2 × 40²) = 0.1: 240 − 40 √0.2 = 222.11.
    /// </summary>
    [Fact]
    public void TwoInTurn_AreOverByTheQuantileOfTheirSum() =>
        Assert.Equal(240 - 40 * Math.Sqrt(0.2), DaySimulation.P90Minutes(Stage(2, 1), Many), 0.4);

    [Fact]
    public void NoSpread_IsTheDayAsSaid()
    {
        var shop = ShopInstance.Read("la01");
        Assert.Equal(DayOrder.Unplanned(shop).MakespanMinutes, DaySimulation.P90Minutes(shop, new() { Days = 3, Spread = 0 }));
    }

    [Fact]
    public void SameSeed_TriesTheSameDays()
    {
        var shop = ShopInstance.Read("ft06");
        Assert.Equal(DaySimulation.EndMinutes(shop, new()), DaySimulation.EndMinutes(shop, new()));
        Assert.NotEqual(DaySimulation.EndMinutes(shop, new()), DaySimulation.EndMinutes(shop, new() { Seed = 2 }));
    }

    /// <summary>Who is ready goes first; of those ready at once the one with the longest tail.</summary>
    [Fact]
    public void Order_IsByReadinessThenTail() => Assert.Equal([2, 1, 0], DayOrder.ByReadiness(new(
        [new("planer"), new("sand", 2)],
        [new("late", 30, [new(0, 10), new(1, 90)]), new("short", 0, [new(0, 10), new(1, 20)]), new("long", 0, [new(0, 10), new(1, 40)])])));

    /// <summary>One planer of 10 min, then sanding 20 and 40 min: the long one first is over at 10 + 40, last at 20 + 40.</summary>
    [Theory]
    [InlineData(0, 1, 60)]
    [InlineData(1, 0, 50)]
    public void OtherOrder_IsKept(int first, int second, int minutes) => Assert.Equal(minutes, DayOrder.Unplanned(
        new([new("planer"), new("sand", 2)], [new("short", 0, [new(0, 10), new(1, 20)]), new("long", 0, [new(0, 10), new(1, 40)])]),
        [first, second]).MakespanMinutes);

    [Theory]
    [InlineData("ft10")]
    [InlineData("mk09")]
    [InlineData("car5")]
    public void UnplannedDay_HasNoFault(string name)
    {
        var shop = ShopInstance.Read(name);
        Assert.Empty(ShopChecker.Faults(shop, DayOrder.Unplanned(shop)));
    }

    [Fact]
    public void OrderWithoutAJob_IsRefused() => Assert.Equal(
        "An order of 1 jobs for a day of 2; name each of them once.",
        Assert.Throws<ArgumentException>(() => DaySimulation.P90Minutes(Stage(2, 1), order: [0])).Message);

    [Theory]
    [InlineData(0, 0.2, "0 days to try; give 1 to 1000000.")]
    [InlineData(10, 1, "A spread of 1; give a share from 0 to below 1.")]
    public void TermsOutOfRange_AreRefused(int days, double spread, string message) => Assert.Equal(
        message, Assert.Throws<ArgumentException>(() => DaySimulation.P90Minutes(Stage(1, 1), new() { Days = days, Spread = spread })).Message);

    private static ShopCase Stage(int pieces, int places) => new(
        [new("sand", places)], [.. Enumerable.Range(0, pieces).Select(p => new ShopJob($"{p}", 0, [new(0, 100)]))]);
}
