using Pourwright.Cure.Heat;
using Pourwright.Cure.Kinetics;
using Pourwright.Cure.Readiness;

namespace Pourwright.Cure.Ladder;

/// <summary>When one draw reaches a gate, in h from the first pour, infinite where it stalls.</summary>
/// <remarks>Past the horizon: also the least conversion there, and that which the gate asks of the slowest layer.</remarks>
internal readonly record struct GateReach(double Hours, double ReachedConversion, double WantedConversion);

/// <summary>One draw of a piece, solved.</summary>
internal sealed record LadderRun(
    IReadOnlyDictionary<LadderGate, GateReach> Gates, double WindowOpensHours, double WindowClosesHours,
    double PeakKelvin, double PeakHours, double RoomCelsius)
{
    private const int Slices = 400;

    /// <summary>The piece as it likely is, no finer than the draws.</summary>
    public static LadderRun Likely(PieceCase piece, Departure departure) => Of(new(Detail.Coarse.Tolerance), piece, departure, Detail.Coarse);

    /// <summary>The piece as it likely is, solved finely and sampled for a chart.</summary>
    public static (LadderRun Run, double LeastConversion, IReadOnlyList<CureSample> Course) Charted(PieceCase piece, Departure departure)
    {
        var (course, detail) = (new CourseWatch(piece.HorizonHours), Detail.Fine(RunawayScreen.Psi(piece, departure)));
        var run = Of(new(detail.Tolerance), piece, departure, detail, course);
        return (run, course.LeastConversion, course.Samples);
    }

    /// <summary>The piece once for each draw.</summary>
    public static LadderRun[] Draws(PieceCase piece, PieceDraws draws)
    {
        var solver = new CureSolver(Detail.Coarse.Tolerance);
        return [.. draws.Draws.Select(departure => Of(solver, piece, departure, Detail.Coarse))];
    }

    /// <summary>When one gate of one draw is reached, in h; infinite where it stalls.</summary>
    public static double Hours(CureSolver solver, PieceCase piece, Departure departure, LadderGate gate) =>
        Of(solver, piece, departure, Detail.Coarse).Gates[gate].Hours;

    /// <summary>Peak of this run, every gate of the slower of the two, and the window that both share.</summary>
    private LadderRun NoFasterThan(LadderRun other) => this with
    {
        Gates = Gates.ToDictionary(g => g.Key, g => g.Value.Hours >= other.Gates[g.Key].Hours ? g.Value : other.Gates[g.Key]),
        WindowOpensHours = Math.Max(WindowOpensHours, other.WindowOpensHours),
        WindowClosesHours = Math.Min(WindowClosesHours, other.WindowClosesHours),
    };

    // Between walls of wood: the peak of the middle, each gate of the slower of middle and edge.
    private static LadderRun Of(
        CureSolver solver, PieceCase piece, Departure departure, Detail detail, params ReadOnlySpan<IStepWatch> also) =>
        NarrowChannel.Edge(piece) is { } edge
            ? Through(solver, NarrowChannel.Core(piece), departure, detail, also).NoFasterThan(Through(solver, edge, departure, detail))
            : Through(solver, piece, departure, detail, also);

    private static LadderRun Through(
        CureSolver solver, PieceCase piece, Departure departure, Detail detail, params ReadOnlySpan<IStepWatch> also)
    {
        var air = PieceRun.Ambient(piece, departure.AmbientShiftKelvin, detail.AmbientWithinKelvin);
        var watch = new LadderWatch(air, piece.WorkKelvin);
        PieceRun.Solve(solver, piece, departure, detail, [watch, .. also]);
        var room = air.Kelvin(double.MaxValue);
        return new(
            Enum.GetValues<LadderGate>().ToDictionary(gate => gate, gate => Reach(gate, watch, room, piece)),
            watch.WindowOpensSeconds / 3600, watch.WindowClosesSeconds / 3600,
            watch.PeakKelvin, watch.PeakSeconds / 3600, room - PieceRun.ZeroCelsius);
    }

    private static GateReach Reach(LadderGate gate, LadderWatch watch, double roomKelvin, PieceCase piece)
    {
        if (double.IsFinite(watch.Seconds(gate)))
            return new(watch.Seconds(gate) / 3600, 0, 0);
        return watch.End.Select(layer => Later(gate, layer.Reaction, layer.LeastConversion)).MaxBy(reach => reach.Hours);

        GateReach Later(LadderGate gate, CureReaction reaction, double reached)
        {
            var wanted = LadderTerms.Conversion(
                gate, reaction.Glass, gate == LadderGate.FullCure ? roomKelvin : Math.Max(roomKelvin, piece.WorkKelvin));
            var more = MoreHours(reaction, reached, wanted, roomKelvin);
            return new(more <= LadderTerms.StallHours ? piece.HorizonHours + more : double.PositiveInfinity, reached, wanted);
        }
    }

    // Days after the last pour a piece is as warm as its room: t = ∫ dα/r(α, T_air) from where it stands to where it must come.
    private static double MoreHours(CureReaction reaction, double conversion, double wanted, double roomKelvin)
    {
        if (wanted <= conversion)
            return 0;
        if (wanted >= 1)
            return double.PositiveInfinity;
        var slice = (wanted - conversion) / Slices;
        return Enumerable.Range(0, Slices)
            .Sum(i => slice / reaction.RatePerSecond(conversion + (i + 0.5) * slice, roomKelvin)) / 3600;
    }
}
