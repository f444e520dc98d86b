using Pourwright.Planning.LotUse;
using Pourwright.Planning.Tests.LotUse;
using Pourwright.Studio.Needs;
using Pourwright.Studio.Refusals;
using Pourwright.V1;
using static Pourwright.Studio.Tests.Needs.NeedStock;

namespace Pourwright.Studio.Tests.Needs;

/// <summary>Masses in mg, small ones: what is checked is who gets what.</summary>
public sealed class PlanLotsTests
{
    private static readonly NeedWindow Window = Facts([]).Window;

    // Not held, then held: the class loses the one lot that covers it whole.
    [Fact]
    public void Plan_OfAHeldLot_TakesAnotherAndSaysSo()
    {
        var free = Plan(Facts([Class("one", 5, 1000, 0)], Can("a1", Part.A, 1000, 60), Can("a2", Part.A, 600, 90), Can("a3", Part.A, 600, 95)));
        Assert.Equal($"{Alder}/containers/a1", Assert.Single(Assert.Single(free.Classes).Draws).Container);
        Assert.Empty(free.Classes[0].Cautions);

        var held = Plan(Facts([Class("one", 5, 1000, 0)], Can("a1", Part.A, 1000, 60, lotHeld: true), Can("a2", Part.A, 600, 90), Can("a3", Part.A, 600, 95)));
        Assert.Equal(["a2", "a3"], held.Classes[0].Draws.Select(draw => draw.Container.Split('/')[^1]));
        Assert.Contains("2 lots (of-a2, of-a3)", Assert.Single(held.Classes[0].Cautions, caution => caution.Reason == Reasons.SeveralLots).Text);
    }

    [Fact]
    public void Plan_OfAHeldContainer_LeavesIt() => Assert.Equal(
        1000, Plan(Facts([Class("one", 5, 1000, 0)], Can("a1", Part.A, 1000, 60, held: true))).Classes[0].Missing.AMassMg);

    // North misses 400; South has two cans that nobody needs: the one that expires first covers it. It is not taken, only named.
    [Fact]
    public void Plan_WhereAnotherSiteHasIt_SuggestsAMoveAndMovesNothing()
    {
        var plan = Plan(Facts([Class("one", 5, 1000, 0)],
            Can("a1", Part.A, 600, 60), Can("s1", Part.A, 500, 90, site: South), Can("s2", Part.A, 500, 70, site: South)));
        Assert.Equal(["a1"], plan.Classes[0].Draws.Select(draw => draw.Container.Split('/')[^1]));
        Assert.Equal(400, plan.Classes[0].Missing.AMassMg);
        var move = Assert.Single(plan.Moves);
        Assert.Equal(($"{Alder}/containers/s2", South, North, 400L), (move.Container, move.FromSite, move.ToSite, move.MassMg));
    }

    // South's own class draws on its can: it is not offered.
    [Fact]
    public void Plan_WhatAnotherSiteNeedsItself_IsNotOffered() => Assert.Empty(Plan(Facts(
        [Class("one", 5, 1000, 0), Class("two", 6, 300, 0, South)], Can("s1", Part.A, 5000, 90, site: South))).Moves);

    // Sealed, opened on day 5, good for 30 days: past on day 35, inside of the window; 400 of 1000 are left.
    [Fact]
    public void Plan_AnOpenedCan_ExpiresByItsOpenedLife()
    {
        var left = Assert.Single(Plan(Facts([Class("one", 5, 600, 0)], Can("a1", Part.A, 1000, 80, isSealed: true))).Expiring);
        Assert.Equal((400L, Day(35)), (left.MassMg, left.ExpireTime.ToDateTimeOffset().ToUnixTimeMilliseconds()));
    }

    // The first class misses nothing; the second bites: 300 of A at once, 700 more by the third; 14 days before 10 March (day 9) is 24 February, past on 1 March.
    [Fact]
    public void Shortfalls_SayWhenTheStockBitesAndHowMuchIsMissingInAll()
    {
        var stocks = SiteStock.Plans(Facts(
            [Class("one", 5, 1000, 0), Class("two", 9, 1000, 0), Class("three", 30, 700, 0)], Can("a1", Part.A, 1700, 90)));
        var zones = new Dictionary<string, TimeZoneInfo> { [North] = TimeZoneInfo.Utc };

        var found = Assert.Single(FindShortfalls.Decide(stocks, FindShortfalls.LeadDaysDefault, zones, Day0Ms));

        Assert.Equal(($"{Alder}/classes/two", Part.A, 300L, 1000L, 1000L, true),
            (found.CastingClass, found.Part, found.ClassMissingMassMg, found.ClassNeedMassMg, found.MissingMassMg, found.Late));
        Assert.Equal((2026, 2, 24), (found.OrderDate.Year, found.OrderDate.Month, found.OrderDate.Day));
        Assert.Equal(2, found.CastingClasses.Count);
        Assert.False(FindShortfalls.Decide(stocks, 9, zones, Day0Ms)[0].Late);
    }

    // With the lot both classes are of one lot; without it the first is of two others and the second misses 500.
    [Fact]
    public void LotClasses_SayWhatAHoldDoesToEach()
    {
        var facts = Facts([Class("one", 5, 1000, 0), Class("two", 9, 800, 0)],
            Can("a1", Part.A, 1800, 60, lot: "bad"), Can("a2", Part.A, 700, 90, lot: "x"), Can("a3", Part.A, 600, 95, lot: "y"));

        var found = FindLotClasses.Decide(facts, $"{Alder}/lots/bad");

        Assert.Equal([1000L, 800L], found.Select(each => each.MassMg));
        Assert.Equal([0L, 500L], found.Select(each => each.MissingMassMg));
        Assert.True(found[0].Mixed);
        Assert.Equal(found, FindLotClasses.Decide(FindLotClasses.Without(facts, $"{Alder}/lots/bad"), $"{Alder}/lots/bad"));
    }

    // 24 pours of eight pieces in a season at one site, twelve cans: the plan is made in the time of a call.
    [Fact]
    public void Plan_OfAWholeSeason_IsWithoutFault()
    {
        var classes = Enumerable.Range(0, 24).Select(i => Class($"class-{i:00}", 3 * i + 1, 11_105_352 - 1_388_169 * (i % 3), 4_664_248 - 583_031 * (i % 3)));
        var cans = Enumerable.Range(0, 12).Select(i => Can($"a{i}", Part.A, 20_000_000, 20 + 10 * i, $"ra-{i / 3}", isSealed: i > 1))
            .Concat(Enumerable.Range(0, 8).Select(i => Can($"b{i}", Part.B, 12_000_000, 25 + 12 * i, $"hb-{i / 2}", isSealed: i > 0)));

        var stock = Assert.Single(SiteStock.Plans(Facts([.. classes], [.. cans])));

        Assert.Empty(StockChecker.Faults(stock.Plan));
        Assert.True(stock.Plan.MixedClasses <= FirstExpiring.Plan(stock.Plan.Case).MixedClasses);
    }

    [Theory]
    [InlineData(-1, "end_time")]
    [InlineData(367, "end_time")]
    public void Window_EmptyOrLongerThanAYear_IsRefused(int days, string field) => Assert.Equal(
        field, Assert.Single(Assert.Throws<Refusal>(() => PlanLots.Window(null, Google.Protobuf.WellKnownTypes.Timestamp.FromDateTimeOffset(
            DateTimeOffset.FromUnixTimeMilliseconds(Day(days))), null, Day0Ms)).Fields).Field);

    private static LotPlan Plan(StockFacts facts) => PlanLots.Decide(SiteStock.Plans(facts), "", Window, []);
}
