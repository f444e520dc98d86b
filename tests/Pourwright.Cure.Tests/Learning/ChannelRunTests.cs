using Pourwright.Cure.Learning;
using Pourwright.Cure.Ladder;
using Pourwright.Cure.Readiness;
using Pourwright.Cure.Tests.Readiness;

namespace Pourwright.Cure.Tests.Learning;

public class ChannelRunTests
{
    // Touched is the corner at the wall, measured the middle: each is what that place alone, solved with its own sink, shows.
    [Fact]
    public void Run_BetweenWood_IsTouchedAtItsEdgeAndMeasuredInItsMiddle()
    {
        var piece = Pieces.Deep();
        ObservedRun Run(PieceCase what) => ObservedRun.Solve(what, Departure.None, 12, 30);
        var (middle, channel) = (Run(piece), Run(piece with { ChannelWidthMm = 120 }));
        var edge = Run(piece with { SideSinkWattsPerCubicMetreKelvin = NarrowChannel.EdgeSink(120, 40) });

        Assert.Equal(middle.SurfaceMaximumCelsius, channel.SurfaceMaximumCelsius);
        Assert.Equal(middle.PeakCelsius, channel.PeakCelsius);
        Assert.Equal((edge.GelHours, edge.DemoldHours, edge.HandleHours), (channel.GelHours, channel.DemoldHours, channel.HandleHours));
        Assert.True(edge.DemoldHours > middle.DemoldHours);
        // At the peak the hot middle is the softer of the two against its own temperature; at 30 h the edge is.
        Assert.Equal(
            [.. middle.Sights.Zip(edge.Sights, (m, e) => m with
            {
                LeastTgMinusTKelvin = Math.Min(m.LeastTgMinusTKelvin, e.LeastTgMinusTKelvin),
                LeastConversion = Math.Min(m.LeastConversion, e.LeastConversion),
                LeastTgCelsius = Math.Min(m.LeastTgCelsius, e.LeastTgCelsius),
            })],
            channel.Sights);
    }
}
