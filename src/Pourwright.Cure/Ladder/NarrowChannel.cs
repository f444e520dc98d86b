using Pourwright.Cure.Readiness;

namespace Pourwright.Cure.Ladder;

/// <summary>A channel of resin between walls of wood: hot in the middle, late at the wall.</summary>
/// <remarks>
/// The engine solves through the depth. Two such runs stand for the channel: the core, without any side loss, gives the peak
/// (the hot side: right for widths of ten depths and more, 3 K too hot at five, 15 K at 1.25); of core and edge, which has a
/// sink, the slower gives each gate, because the slowest point decides.
/// A sink s = 2U/W with U(W/d) from <see cref="WallWPerM2K"/> gives the middle of a narrow channel its peak. The corner at the
/// wall wants 2 · 3.4/d more, at any width: fitted to two-dimensional runs of an illustrative resin, 20 to 40 mm deep at 20 °C
/// between 80 mm of wood, where last gel and demold come out between 0.1 h early and 1.1 h late. No measured casting stands
/// behind it.
/// </remarks>
public static class NarrowChannel
{
    /// <summary>Greatest sink that the engine is asked with, in W/(m³ K): colder edges than that differ by an hour.</summary>
    private const double MostSink = 500;

    private const double EdgeWPerM2K = 3.4;

    // Width over depth, and U in W/(m² K) at which a run through the depth has the peak of the two-dimensional one: 40 mm of deep
    // casting at 20 °C, 400, 200, 120, 80 and 50 mm wide.
    private static readonly (double WidthOverDepth, double U)[] Wall = [(1.25, 4.1), (2, 3.4), (3, 2.6), (5, 1.4), (10, 0.1)];

    /// <summary>U of one side wall, in W/(m² K), by width over depth.</summary>
    /// <remarks>On the lines between the computed points, level outside.</remarks>
    public static double WallWPerM2K(double widthOverDepth)
    {
        var next = Array.FindIndex(Wall, point => point.WidthOverDepth >= widthOverDepth);
        if (next is 0 or -1)
            return next == 0 ? Wall[0].U : Wall[^1].U;
        var (from, to) = (Wall[next - 1], Wall[next]);
        return from.U + (to.U - from.U) * (widthOverDepth - from.WidthOverDepth) / (to.WidthOverDepth - from.WidthOverDepth);
    }

    /// <summary>Side sink of the middle of a channel, in W/(m³ K): s = 2U/W.</summary>
    public static double CoreSink(double widthMm, double depthMm) =>
        Math.Min(MostSink, 2 * WallWPerM2K(widthMm / depthMm) / (widthMm / 1000));

    /// <summary>Side sink of the corner at the wall, in W/(m³ K): 2U/W + 2 · 3.4/d.</summary>
    public static double EdgeSink(double widthMm, double depthMm) =>
        Math.Min(MostSink, CoreSink(widthMm, depthMm) + 2 * EdgeWPerM2K / (depthMm / 1000));

    /// <summary>The middle of a piece: no side loss, the hot side for its peak.</summary>
    internal static PieceCase Core(PieceCase piece) => piece with { ChannelWidthMm = null, SideSinkWattsPerCubicMetreKelvin = 0 };

    /// <summary>The corner at the wall: what decides its gates. Null where no wood stands beside the resin.</summary>
    internal static PieceCase? Edge(PieceCase piece) => piece.ChannelWidthMm is not { } widthMm ? null : piece with
    {
        ChannelWidthMm = null, SideSinkWattsPerCubicMetreKelvin = EdgeSink(widthMm, piece.Layers.Sum(l => l.DepthMm)),
    };
}
