using System.Globalization;
using Pourwright.Cure.Ladder;
using Pourwright.Cure.Readiness;
using Pourwright.Cure.Tests.Readiness;
using Xunit.Abstractions;

namespace Pourwright.Cure.Tests.Ladder;

/// <summary>Where the rule of core and edge holds, against two dimensions.</summary>
public class NarrowChannelTests(ITestOutputHelper output)
{
    // Computed by another two-dimensional program on the same grid, illustrative resin: 40 mm deep at 20 °C between 80 mm of
    // wood. Centre peaks printed to 0.1 K, edge peaks to 1 K, last gel 24.5 to 27 h over all widths. Found here: 42.99, 39.76,
    // 35.13, 31.36, 27.73 °C; edges 30.0, 29.6, 29.2, 27.8, 26.0 °C; last gel 24.9 to 27.1 h. Asked: 0.3 K, 1 K, and that span
    // ± 0.3 h.
    [Theory]
    [InlineData(400, 43.0, 30)]
    [InlineData(200, 39.8, 30)]
    [InlineData(120, 35.1, 29)]
    [InlineData(80, 31.3, 28)]
    [InlineData(50, 27.7, 26)]
    public void TwoDimensions_OfEveryWidth_GiveTheKnownPeaks(double widthMm, double centreCelsius, double edgeCelsius)
    {
        var channel = new ChannelSolver(widthMm).Run(30);
        output.WriteLine(string.Create(CultureInfo.InvariantCulture,
            $"{widthMm} mm: {channel.CentrePeakCelsius:0.00}, {channel.EdgePeakCelsius:0.0} °C, {channel.LastGelHours:0.0} h"));
        Assert.Equal(centreCelsius, channel.CentrePeakCelsius, 0.3);
        Assert.Equal(edgeCelsius, channel.EdgePeakCelsius, 1.0);
        Assert.InRange(channel.LastGelHours, 24.2, 27.3);

        // The tabulated sink gives the run through the depth the same peak; without it that run stays at 43.2 °C, the hot side.
        var sunk = Bare(40) with { SideSinkWattsPerCubicMetreKelvin = NarrowChannel.CoreSink(widthMm, 40) };
        Assert.Equal(channel.CentrePeakCelsius, LadderForecaster.Forecast(sunk, Pieces.NoSpread).Peak.LikelyCelsius, 0.2);
        Assert.InRange(LadderForecaster.Forecast(Bare(40) with { ChannelWidthMm = widthMm }, Pieces.NoSpread).Peak.LikelyCelsius, centreCelsius, 43.3);
    }

    // The corner in two dimensions against the edge run: never more than 0.15 h early, at most 1.2 h late; a run without sink
    // would be 7 to 10 h early at 40 mm.
    [Theory]
    [InlineData(40, 400)]
    [InlineData(40, 50)]
    [InlineData(30, 150)]
    [InlineData(20, 300)]
    [InlineData(20, 40)]
    public void Demold_ByTheEdgeRun_IsThatOfTheCorner(double depthMm, double widthMm)
    {
        var corner = new ChannelSolver(widthMm, depthMm).Run(80);
        var edge = LadderForecaster.Forecast(Bare(depthMm) with { ChannelWidthMm = widthMm }, Pieces.NoSpread);
        var (gel, demold) = (edge[LadderGate.Gel].Times.LikelyHours!.Value, edge[LadderGate.Demold].Times.LikelyHours!.Value);
        output.WriteLine(string.Create(CultureInfo.InvariantCulture,
            $"{depthMm} x {widthMm} mm: {corner.LastGelHours:0.00} / {gel:0.00}, {corner.DemoldHours:0.00} / {demold:0.00} h"));
        Assert.InRange(gel - corner.LastGelHours, -0.15, 1.2);
        Assert.InRange(demold - corner.DemoldHours, -0.15, 1.2);
    }

    // On the line between 3 (2.6) and 5 (1.4): 4 gives 2.0. Level outside the computed range.
    [Theory]
    [InlineData(0.5, 4.1)]
    [InlineData(1.25, 4.1)]
    [InlineData(4, 2.0)]
    [InlineData(10, 0.1)]
    [InlineData(40, 0.1)]
    public void Wall_ByWidthOverDepth_LiesOnTheLines(double widthOverDepth, double u)
    {
        Assert.Equal(u, NarrowChannel.WallWPerM2K(widthOverDepth), 1e-9);
    }

    // 80 mm wide, 40 mm deep: 2 · 3.4/0.08 = 85 for the middle, 85 + 2 · 3.4/0.04 = 255 for the corner.
    [Fact]
    public void Sinks_OfAChannelOfTwoDepths_AreTheFormula()
    {
        Assert.Equal(85, NarrowChannel.CoreSink(80, 40), 1e-9);
        Assert.Equal(255, NarrowChannel.EdgeSink(80, 40), 1e-9);
    }

    [Fact]
    public void Forecast_OfAWideChannel_KeepsTheHotPeakAndTheLateGates()
    {
        var (plain, channel) = (LadderForecaster.Forecast(Pieces.Deep()), LadderForecaster.Forecast(Pieces.Deep() with { ChannelWidthMm = 600 }));
        Assert.Equal(plain.Peak, channel.Peak);
        Assert.True(channel[LadderGate.Demold].Times.SafeHours > plain[LadderGate.Demold].Times.SafeHours + 3);
        Assert.True(channel.NextLayer.Opens.LikelyHours >= plain.NextLayer.Opens.LikelyHours);
        Assert.True(channel.NextLayer.Closes.LikelyHours <= plain.NextLayer.Closes.LikelyHours);
    }

    [Fact]
    public void Forecast_OfAChannelWithoutWidth_IsRefused()
    {
        Assert.Equal("Width of the channel",
            Assert.Throws<CureRangeException>(() => LadderForecaster.Forecast(Pieces.Deep() with { ChannelWidthMm = 0 })).Quantity);
    }

    private static PieceCase Bare(double depthMm) => Pieces.Deep(depthMm) with { BoardThicknessMm = 0 };
}
