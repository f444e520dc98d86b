using CsCheck;
using Pourwright.Cure.Advice;
using Pourwright.Cure.Ladder;
using Pourwright.Cure.Readiness;
using Pourwright.Cure.Tests.Readiness;

namespace Pourwright.Cure.Tests.Advice;

public class DeepestLayerTests
{
    // Illustrative resin on an 18 mm board: 39.9 mm at 20 °C, 33.0 mm at 24 °C, both stopped by the peak of the hot draws.
    [Theory]
    [InlineData(20, 39.9)]
    [InlineData(24, 33.0)]
    public void Depth_AtTheLimit_HoldsAndAMillimetreMoreDoesNot(double celsius, double depthMm)
    {
        var limit = DeepestLayer.Of(Pieces.Deep(1, celsius));
        Assert.Equal(depthMm, limit.DepthMm, 0.5);
        var (at, over) = (Peak(limit.DepthMm, celsius), Peak(limit.DepthMm + 1, celsius));
        Assert.True(at.HighCelsius <= 80 && at.RunawayMargin <= 0.40);
        Assert.True(over.HighCelsius > 80 || over.RunawayMargin > 0.40);
        Assert.Equal(limit.Peak.HighCelsius, at.HighCelsius, 1e-6);
    }

    // Without a limit of peak ψ decides alone, and ψ is proportional to depth: d = 0.40/ψ(1 mm).
    [Fact]
    public void Depth_BoundByTheMargin_IsItsShareOfAMillimetre()
    {
        var limit = DeepestLayer.Of(Pieces.Deep(1) with { BoardThicknessMm = 0 }, PieceDraws.Of(Pieces.NoSpread), new(PeakCelsius: 1000));
        var perMm = RunawayScreen.Psi(ResinCureModel.DeepCasting, 1e-3, 293.15, 13);
        Assert.Equal(DepthBound.RunawayMargin, limit.BoundBy);
        Assert.Equal(0.40 / perMm, limit.DepthMm, 1e-9);
    }

    // 39.9 mm at 20 °C by the model: a sheet that says 25 wins, one that says 60 does not.
    [Theory]
    [InlineData(25, 25, DepthBound.DataSheet)]
    [InlineData(60, 39.9, DepthBound.Peak)]
    public void Depth_OfADataSheet_WinsWhereItSaysLess(double sheetMm, double depthMm, DepthBound bound)
    {
        var limit = DeepestLayer.Of(Pieces.Deep(1), limits: new(DepthMm: sheetMm));
        Assert.Equal(bound, limit.BoundBy);
        Assert.Equal(depthMm, limit.DepthMm, 0.5);
        Assert.True(limit.Peak.HighCelsius <= 80);
    }

    [Fact]
    public void Depth_InAWarmerRoom_IsNeverGreater()
    {
        var draws = PieceDraws.Of(new CureSpread { Draws = 12 });
        Gen.Select(Gen.Double[8, 30], Gen.Double[0.5, 4], Gen.Bool).Sample((celsius, warmer, quick) =>
        {
            var resin = quick ? ResinCureModel.FastCoating : ResinCureModel.DeepCasting;
            double Depth(double at) => DeepestLayer.Of(Pieces.Of(resin, 1, at), draws).DepthMm;
            Assert.True(Depth(celsius + warmer) <= Depth(celsius));
        }, iter: 15);
    }

    // The margin grows with depth, whatever the resin: a deeper pour is never on the safer side.
    [Fact]
    public void Margin_OfADeeperPour_IsNeverSmaller()
    {
        Gen.Select(Gen.Double[0.001, 0.1], Gen.Double[1, 3], Gen.Double[280, 310]).Sample((metres, deeper, kelvin) =>
            Assert.True(
                RunawayScreen.Psi(ResinCureModel.DeepCasting, metres * deeper, kelvin, 13)
                >= RunawayScreen.Psi(ResinCureModel.DeepCasting, metres, kelvin, 13)));
    }

    // On a layer that is still liquid the depth below counts nearly whole; on one that has cured for two days hardly.
    [Fact]
    public void Depth_OfASecondPour_GrowsWithTheAgeOfTheFirst()
    {
        double Depth(double atHours) => DeepestLayer.Of(Pieces.Deep(20) with
        {
            Layers = [Pieces.Deep(20).Layers[0], Pieces.Deep(20).Layers[0] with { AtHours = atHours }],
        }, PieceDraws.Of(Pieces.NoSpread)).DepthMm;
        var alone = DeepestLayer.Of(Pieces.Deep(1), PieceDraws.Of(Pieces.NoSpread)).DepthMm;
        Assert.InRange(Depth(1), alone - 21, alone - 18);
        Assert.True(Depth(20) > Depth(1) && Depth(60) > Depth(20));
        Assert.True(Depth(60) <= alone);
    }

    // Room and mix at 25 °C cannot stay under 22 °C.
    [Fact]
    public void Depth_WhereNothingHolds_IsZero()
    {
        var limit = DeepestLayer.Of(Pieces.Deep(1, 25), limits: new(PeakCelsius: 22));
        Assert.Equal((0.0, DepthBound.Peak), (limit.DepthMm, limit.BoundBy));
    }

    private static PeakForecast Peak(double depthMm, double celsius) =>
        LadderForecaster.Forecast(Pieces.Deep(depthMm, celsius) with { HorizonHours = 96 }).Peak;
}
