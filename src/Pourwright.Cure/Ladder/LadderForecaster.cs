using Pourwright.Cure.Readiness;

namespace Pourwright.Cure.Ladder;

/// <summary>From a piece to all of its rungs, with their spread.</summary>
public static class LadderForecaster
{
    /// <summary>Solves the piece once as it likely is and once for each draw; times in h from the first pour.</summary>
    /// <remarks>Pure: the same piece and draws give the same forecast, on one thread.</remarks>
    /// <exception cref="CureRangeException">An input is outside the range in which the model may be asked.</exception>
    public static PieceLadder Forecast(PieceCase piece, PieceDraws draws, FinishWaits? waits = null)
    {
        PieceRange.Check(piece);
        var (likely, leastConversion, course) = LadderRun.Charted(piece, draws.Likely);
        return Of(piece, draws, likely, LadderRun.Draws(piece, draws), waits ?? new()) with
        {
            LeastConversionAtHorizon = leastConversion,
            LikelyCourse = course,
        };
    }

    /// <summary>As the other, with the draws of a spread.</summary>
    /// <exception cref="CureRangeException">An input is outside the range in which the model may be asked.</exception>
    public static PieceLadder Forecast(PieceCase piece, CureSpread? spread = null, FinishWaits? waits = null) =>
        Forecast(piece, PieceDraws.Of(spread ?? CureSpread.Default), waits);

    /// <summary>When a layer may follow; cheaper than all of a forecast.</summary>
    internal static LayerWindow NextLayer(PieceCase piece, PieceDraws draws)
    {
        PieceRange.Check(piece);
        return Window(LadderRun.Draws(piece, draws));
    }

    internal static PieceLadder Of(PieceCase piece, PieceDraws draws, LadderRun likely, LadderRun[] runs, FinishWaits waits)
    {
        var rungs = Enum.GetValues<LadderGate>().ToDictionary(gate => gate, gate => RungOf(gate, runs, likely));
        var sand = rungs[LadderGate.Sand].Times;
        return new(
            string.Join(" + ", piece.Layers.Select(l => l.Resin.Revision).Distinct()),
            rungs, Window(runs), Later(sand, waits.RecoatHours), Later(sand, waits.ToHandOverHours),
            Peak(RunawayScreen.Psi(piece, draws.Likely), likely, runs));
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

    internal static PeakForecast Peak(double psi, LadderRun likely, LadderRun[] draws)
    {
        double[] sorted = [.. draws.Select(d => d.PeakKelvin).Order()];
        double Celsius(double share) => SpreadDraws.Quantile(sorted, share) - PieceRun.ZeroCelsius;
        return new(Celsius(0.05), Celsius(0.50), Celsius(0.95), likely.PeakHours, psi, RunawayScreen.Risk(psi));
    }
}
