using Pourwright.Planning.MachineDay;

namespace Pourwright.Planning.Tests.MachineDay;

/// <summary>Shops whose least makespan is published, found and proved; sources in Reference/shop/README.md.</summary>
/// <remarks>Those that take longer are proved by the benchmark shops.</remarks>
public sealed class PublishedShopTests
{
    // The slowest here takes a third of a unit; a search that lost its way ends here and fails.
    private static readonly ShopEffort Effort = new() { Work = 10 };

    [Theory]
    [InlineData("ft06", 55)]
    [InlineData("ft20", 1165)]
    [InlineData("la01", 666)]
    [InlineData("la02", 655)]
    [InlineData("la03", 597)]
    [InlineData("la04", 590)]
    [InlineData("la05", 593)]
    [InlineData("la06", 926)]
    [InlineData("la11", 1222)]
    [InlineData("la16", 945)]
    [InlineData("abz5", 1234)]
    public void JobShop_MeetsItsPublishedOptimum(string name, int minutes) => Proves(name, minutes);

    /// <summary>Carlier's flow shops, machines free to take jobs in another order than the one before.</summary>
    /// <remarks>With one order for all machines car5 and car7 take 7720 and 6590: not to be mixed up with these.</remarks>
    [Theory]
    [InlineData("car1", 7038)]
    [InlineData("car5", 7702)]
    [InlineData("car7", 6558)]
    public void FlowShopOfFreeOrder_MeetsItsPublishedOptimum(string name, int minutes) => Proves(name, minutes);

    [Theory]
    [InlineData("mk01", 40)]
    [InlineData("mk03", 204)]
    [InlineData("mk04", 60)]
    [InlineData("mk08", 523)]
    [InlineData("mk09", 307)]
    public void FlexibleShop_MeetsItsPublishedOptimum(string name, int minutes) => Proves(name, minutes);

    private static void Proves(string name, int minutes)
    {
        var shop = ShopInstance.Read(name);
        var schedule = ShopSolver.Solve(shop, Effort);
        Assert.Empty(ShopChecker.Faults(shop, schedule));
        Assert.Equal((minutes, minutes), (schedule.MakespanMinutes, schedule.LowerBoundMinutes));
    }
}
