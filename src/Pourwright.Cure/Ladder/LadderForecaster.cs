using Pourwright.Cure.Readiness;

namespace Pourwright.Cure.Ladder;

/// <summary>From a piece to all of its rungs, with their spread.</summary>
public static class LadderForecaster
{
    /// <summary>Solves the piece once for each draw of the spread; times in h from the first pour.</summary>
    /// <remarks>Pure. Demold, handle, last gel and peak are those of <see cref="PieceForecaster"/>.</remarks>
    /// <exception cref="CureRangeException">An input is outside the range in which the model may be asked.</exception>
    public static PieceLadder Forecast(PieceCase piece, CureSpread? spread = null, FinishWaits? waits = null)
    {
        spread ??= CureSpread.Default;
        PieceRange.Check(piece);
        PieceRange.Check(spread);
        return Of(piece, LadderRun.Likely(piece), LadderRun.Draws(piece, spread), waits ?? new());
    }

    internal static PieceLadder Of(PieceCase piece, LadderRun likely, LadderRun[] draws, FinishWaits waits)
    {
        var rungs = Enum.GetValues<LadderGate>().ToDictionary(gate => gate, gate => RungOf(gate, draws, likely));
        var sand = rungs[LadderGate.Sand].Times;
        return new(
            string.Join(" + ", piece.Layers.Select(l => l.Resin.Revision).Distinct()),
            rungs, Window(draws), Later(sand, waits.RecoatHours), Later(sand, waits.ToHandOverHours),
            Peak(piece, likely, draws));
    }

    /// <summary>Times at 5, 50 and 95 % of the draws, null where infinite.</summary>
    internal static GateTimes Times(IEnumerable<double> hours)
    {
        double[] sorted = [.. hours.Order()];
        double? Finite(double share) => SpreadDraws.Quantile(sorted, share) is var h && double.IsFinite(h) ? h : null;
        return new(Finite(0.05), Finite(0.50), Finite(0.95));
    }

    private static Rung RungOf(LadderGate gate, LadderRun[] draws, LadderRun likely)
    {
        var times = Times(draws.Select(d => d.Gates[gate].Hours));
        if (times.SafeHours is not null)
            return new Opens(times);
        var stalled = draws.Select(d => d.Gates[gate]).Where(reach => double.IsInfinity(reach.Hours)).ToArray();
        return new Stalls(
            times, likely.RoomCelsius, stalled.Average(r => r.ReachedConversion), stalled.Average(r => r.WantedConversion));
    }

    private static GateTimes Later(GateTimes times, double hours) =>
        new(times.EarliestHours + hours, times.LikelyHours + hours, times.SafeHours + hours);

    // Some window that holds the best time begins there, so only the openings need to be tried; the middle of the stretch that
    // the same windows share is farther from both edges.
    private static LayerWindow Window(LadderRun[] draws)
    {
        var windows = draws.Where(d => d.WindowOpensHours < d.WindowClosesHours).ToArray();
        LadderRun[] Holding(double hours) =>
            [.. windows.Where(d => d.WindowOpensHours <= hours && hours <= d.WindowClosesHours)];
        var best = windows.Select(d => Holding(d.WindowOpensHours)).MaxBy(holding => holding.Length) ?? [];
        double? middle = best.Length == 0 ? null : (best.Max(d => d.WindowOpensHours) + Ends(best)) / 2;
        return new(
            Times(draws.Select(d => d.WindowOpensHours)), Times(draws.Select(d => d.WindowClosesHours)),
            middle, (double)best.Length / draws.Length);
    }

    // A window may stay open past the horizon; its middle is then that of opening and twice the opening.
    private static double Ends(LadderRun[] holding) =>
        holding.Min(d => Math.Min(d.WindowClosesHours, 2 * d.WindowOpensHours));

    internal static PeakForecast Peak(PieceCase piece, LadderRun likely, LadderRun[] draws)
    {
        double[] sorted = [.. draws.Select(d => d.PeakKelvin).Order()];
        double Celsius(double share) => SpreadDraws.Quantile(sorted, share) - PieceRun.ZeroCelsius;
        var psi = RunawayScreen.Psi(piece);
        return new(Celsius(0.05), Celsius(0.50), Celsius(0.95), likely.PeakHours, psi, RunawayScreen.Risk(psi));
    }
}
