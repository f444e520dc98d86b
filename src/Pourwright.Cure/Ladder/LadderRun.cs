using Pourwright.Cure.Heat;
using Pourwright.Cure.Kinetics;
using Pourwright.Cure.Readiness;

namespace Pourwright.Cure.Ladder;

/// <summary>One draw of a piece, solved: its times in h from the first pour, infinite where a gate stalls.</summary>
internal sealed class LadderRun
{
    private const int Slices = 400;

    private readonly LadderWatch watch;
    private readonly double airKelvin;
    private readonly double horizonHours;

    private LadderRun(LadderWatch watch, double airKelvin, double horizonHours) =>
        (this.watch, this.airKelvin, this.horizonHours) = (watch, airKelvin, horizonHours);

    public double PeakKelvin => watch.PeakKelvin;
    public double PeakHours => watch.PeakSeconds / 3600;
    public double WindowOpensHours => watch.WindowOpensSeconds / 3600;
    public double WindowClosesHours => watch.WindowClosesSeconds / 3600;

    /// <summary>The piece as it likely is.</summary>
    public static LadderRun Likely(PieceCase piece) => Of(new(Detail.Coarse.Tolerance), piece, Departure.None);

    /// <summary>The piece once for each draw of a spread.</summary>
    public static LadderRun[] Draws(PieceCase piece, CureSpread spread)
    {
        var solver = new CureSolver(Detail.Coarse.Tolerance);
        return [.. SpreadDraws.Of(spread).Select(departure => Of(solver, piece, departure))];
    }

    /// <summary>When a gate opens; past the horizon at the last temperature of the room, infinite beyond two months.</summary>
    public double Hours(LadderGate gate)
    {
        if (double.IsFinite(watch.Seconds(gate)))
            return watch.Seconds(gate) / 3600;
        var more = watch.End.Max(layer => MoreHours(gate, layer.Reaction, layer.LeastConversion));
        return more <= LadderTerms.StallHours ? horizonHours + more : double.PositiveInfinity;
    }

    /// <summary>What stalls: room in °C, least conversion, and the conversion that the gate asks there.</summary>
    public Stalls Stalled(LadderGate gate, GateTimes times)
    {
        var (reaction, reached) = watch.End.MaxBy(layer => MoreHours(gate, layer.Reaction, layer.LeastConversion));
        return new(times, airKelvin - PieceRun.ZeroCelsius, reached, LadderTerms.Conversion(gate, reaction.Glass, airKelvin));
    }

    private static LadderRun Of(CureSolver solver, PieceCase piece, Departure departure)
    {
        var air = PieceRun.Ambient(piece, departure.AmbientShiftKelvin, Detail.Coarse.AmbientWithinKelvin);
        var watch = new LadderWatch(air);
        PieceRun.Solve(solver, piece, departure, Detail.Coarse, watch);
        return new(watch, air.Kelvin(double.MaxValue), piece.HorizonHours);
    }

    // Days after the last pour a piece is as warm as its room: t = ∫ dα/r(α, T_air) from where it stands to where it must come.
    private double MoreHours(LadderGate gate, CureReaction reaction, double conversion)
    {
        var wanted = LadderTerms.Conversion(gate, reaction.Glass, airKelvin);
        if (wanted >= 1)
            return double.PositiveInfinity;
        var slice = Math.Max(0, wanted - conversion) / Slices;
        return Enumerable.Range(0, Slices)
            .Sum(i => slice / reaction.RatePerSecond(conversion + (i + 0.5) * slice, airKelvin)) / 3600;
    }
}
