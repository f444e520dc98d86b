using Pourwright.Cure.Heat;
using Pourwright.Cure.Readiness;

namespace Pourwright.Cure.Ladder;

/// <summary>When the pieces of one class reach a gate, in h from the first pour, in one draw of all that they share.</summary>
/// <param name="MedianHours">Half of the pieces are there by then; infinite where they stall.</param>
/// <param name="LnSd">Spread of the logarithm of the time from piece to piece, without unit.</param>
public readonly record struct ReadyTime(double MedianHours, double LnSd)
{
    /// <summary>A gate that is never reached.</summary>
    public static ReadyTime Never => new(double.PositiveInfinity, 0);
}

/// <summary>The gate of a class: pieces alike, poured together, that share resin, lot, site and air and differ by their own pour.</summary>
/// <remarks>
/// ln t is close to a straight line in the logarithm of the rate, so that two runs, one standard deviation of a pour below and
/// above, tell median and spread: ln m = (ln t₋ + ln t₊)/2, σ = (ln t₋ − ln t₊)/2 (tests/Pourwright.Cure.Tests/Ladder hold how close).
/// </remarks>
public static class ReadyTimes
{
    /// <summary>Of each draw; the rate of a draw holds what the pieces share and nothing of a single pour.</summary>
    /// <param name="piece">One of the pieces.</param>
    /// <param name="draws">What they share.</param>
    /// <param name="gate">Which gate.</param>
    /// <param name="pourRateLnSd">Spread of the rate from pour to pour, in ln; over 0.</param>
    /// <exception cref="CureRangeException">An input is outside the range in which the model may be asked.</exception>
    public static ReadyTime[] Of(PieceCase piece, IReadOnlyList<Departure> draws, LadderGate gate, double pourRateLnSd)
    {
        PieceRange.Check(piece);
        CureRangeException.Check("Spread of the rate of a pour", pourRateLnSd, 1e-3, 0.5, "");
        var solver = new CureSolver(Detail.Coarse.Tolerance);
        return [.. draws.Select(draw => Of(
            scores => LadderRun.Hours(solver, piece, draw with { RateFactor = draw.RateFactor * Math.Exp(pourRateLnSd * scores) }, gate)))];
    }

    // Where the slow run stalls, the middle one tells with the quick one; where that stalls too, half of the pieces never come.
    private static ReadyTime Of(Func<double, double> hours)
    {
        var (slow, quick) = (hours(-1), hours(1));
        if (double.IsFinite(slow) && double.IsFinite(quick))
            return new(Math.Sqrt(slow * quick), Math.Log(slow / quick) / 2);
        return hours(0) is var middle && double.IsFinite(middle) && double.IsFinite(quick) ? new(middle, Math.Log(middle / quick)) : ReadyTime.Never;
    }
}
