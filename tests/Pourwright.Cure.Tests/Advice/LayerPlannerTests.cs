using CsCheck;
using Pourwright.Cure.Advice;
using Pourwright.Cure.Ladder;
using Pourwright.Cure.Readiness;
using Pourwright.Cure.Tests.Readiness;

namespace Pourwright.Cure.Tests.Advice;

public class LayerPlannerTests
{
    [Fact]
    public void Plan_OfADepthThatIsSafeAtOnce_IsOnePour()
    {
        var plan = Assert.IsType<Layers>(LayerPlanner.Plan(Pieces.Deep(), 15));
        Assert.Equal((0, 15, null), (plan.Pours.Single().AtHours, plan.Pours.Single().DepthMm, plan.Pours.Single().Window));
    }

    [Theory]
    [InlineData("deep", 60, 20)]
    [InlineData("deep", 80, 18)]
    [InlineData("fast", 20, 20)]
    public void Plan_OfADepthOverTheLimit_PoursEqualLayersInTheirWindows(string resin, double totalMm, double celsius)
    {
        var model = resin == "deep" ? ResinCureModel.DeepCasting : ResinCureModel.FastCoating;
        var plan = Assert.IsType<Layers>(LayerPlanner.Plan(Pieces.Of(model, 1, celsius), totalMm));
        Assert.True(plan.Pours.Count > 1);
        AssertHolds(plan, totalMm);
    }

    [Fact]
    public void Plan_OfAnyDepth_NeverBreaksItsOwnLimits()
    {
        var draws = PieceDraws.Of(new CureSpread { Draws = 10 });
        Gen.Select(Gen.Double[2, 90], Gen.Double[15, 26], Gen.Bool).Sample((totalMm, celsius, quick) =>
        {
            var model = quick ? ResinCureModel.FastCoating : ResinCureModel.DeepCasting;
            if (LayerPlanner.Plan(Pieces.Of(model, 1, celsius), totalMm, draws) is Layers plan)
                AssertHolds(plan, totalMm);
        }, iter: 12);
    }

    // 30 mm are safe at once; a sheet that allows 20 mm asks for two layers of 15.
    [Fact]
    public void Plan_OverTheDataSheet_PoursItsLayers()
    {
        var plan = Assert.IsType<Layers>(LayerPlanner.Plan(Pieces.Deep(), 30, limits: new(DepthMm: 20)));
        Assert.Equal([15.0, 15.0], plan.Pours.Select(p => p.DepthMm));
        Assert.Single(Assert.IsType<Layers>(LayerPlanner.Plan(Pieces.Deep(), 30)).Pours);
    }

    // Who knows the deepest layer need not look for it again: 30 mm in layers of at most 11 are three of 10.
    [Fact]
    public void Plan_WithAKnownDeepestLayer_TakesItsWord()
    {
        var deepest = new DepthLimit(11, DepthBound.Peak, null!);
        Assert.Equal(3, Assert.IsType<Layers>(LayerPlanner.Plan(Pieces.Deep(), 30, deepest: deepest)).Pours.Count);
    }

    // Between walls of wood the edge cures later than the middle: the second layer waits for it; peaks stay the hot side.
    [Fact]
    public void Plan_OfANarrowChannel_WaitsForItsEdge()
    {
        var wide = Assert.IsType<Layers>(LayerPlanner.Plan(Pieces.Deep(), 60)).Pours;
        var narrow = Assert.IsType<Layers>(LayerPlanner.Plan(Pieces.Deep() with { ChannelWidthMm = 120 }, 60)).Pours;
        Assert.Equal(wide[0].Peak, narrow[0].Peak);
        Assert.True(narrow[1].AtHours > wide[1].AtHours);
        Assert.Equal(LadderForecaster.Forecast(Pieces.Deep(30) with { ChannelWidthMm = 120 }).NextLayer.BestAtHours!.Value, narrow[1].AtHours, 0.1);
    }

    // 300 mm of the quick resin want more than eight layers of some 9 mm.
    [Fact]
    public void Plan_OfFarTooMuch_SaysSo()
    {
        Assert.Equal(new TooHotInAnyLayers(8), LayerPlanner.Plan(Pieces.Of(ResinCureModel.FastCoating, 1, 20), 300));
    }

    // Elapsed hours: thirty hours after Saturday 16:00 is Sunday 22:00, and 21:00 by the clock of a night that gained an hour.
    [Fact]
    public void Clock_OfAPour_CountsElapsedHours()
    {
        var pour = new PlannedPour(30, 20, null, null!);
        var first = new DateTimeOffset(2026, 10, 24, 16, 0, 0, TimeSpan.FromHours(2));
        Assert.Equal(new DateTimeOffset(2026, 10, 25, 21, 0, 0, TimeSpan.FromHours(1)), pour.At(first));
    }

    private static void AssertHolds(Layers plan, double totalMm)
    {
        Assert.Equal(totalMm, plan.Pours.Sum(p => p.DepthMm), 1e-6);
        Assert.All(plan.Pours, p => Assert.True(p.Peak.HighCelsius <= 80 && p.Peak.RunawayMargin <= 0.40));
        foreach (var (below, above) in plan.Pours.Zip(plan.Pours.Skip(1)))
        {
            Assert.True(above.AtHours > below.AtHours);
            Assert.InRange(above.AtHours, above.Window!.Opens.EarliestHours!.Value, above.Window.Closes.SafeHours!.Value);
        }
    }
}
