using Pourwright.Cure.Heat;

namespace Pourwright.Cure.Readiness;

/// <summary>From a piece to its gates, with their spread.</summary>
public static class PieceForecaster
{
    private const double Early = 0.05;
    private const double Middle = 0.50;
    private const double Late = 0.95;

    /// <summary>
    /// Solves the piece once as it likely is and once for each draw of the spread; times in h from the first pour.
    /// </summary>
    /// <remarks>Pure: the same piece and spread give the same forecast, on one thread.</remarks>
    /// <exception cref="CureRangeException">An input is outside the range in which the model may be asked.</exception>
    public static PieceForecast Forecast(PieceCase piece, CureSpread? spread = null)
    {
        spread ??= CureSpread.Default;
        PieceRange.Check(piece);
        PieceRange.Check(spread);
        var psi = RunawayScreen.Psi(piece);
        var (likely, course) = (new GateWatch(piece.WorkKelvin), new CourseWatch(piece.HorizonHours));
        var fine = Detail.Fine(psi);
        PieceRun.Solve(new CureSolver(fine.Tolerance), piece, Departure.None, fine, likely, course);
        var solver = new CureSolver(Detail.Coarse.Tolerance);
        GateWatch[] draws = [.. SpreadDraws.Of(spread).Select(departure => Watched(solver, piece, departure))];
        return new(
            string.Join(" + ", piece.Layers.Select(l => l.Resin.Revision).Distinct()),
            Times(draws, w => w.GelSeconds), Times(draws, w => w.DemoldSeconds), Times(draws, w => w.HandleSeconds),
            Peak(draws, likely, psi), likely.LeastConversion, course.Samples);
    }

    private static GateWatch Watched(CureSolver solver, PieceCase piece, Departure departure)
    {
        var watch = new GateWatch(piece.WorkKelvin);
        PieceRun.Solve(solver, piece, departure, Detail.Coarse, watch);
        return watch;
    }

    private static GateTimes Times(GateWatch[] draws, Func<GateWatch, double> seconds)
    {
        double[] sorted = [.. draws.Select(seconds).Order()];
        double? Hours(double share) =>
            SpreadDraws.Quantile(sorted, share) is var quantile && double.IsFinite(quantile) ? quantile / 3600 : null;
        return new(Hours(Early), Hours(Middle), Hours(Late));
    }

    private static PeakForecast Peak(GateWatch[] draws, GateWatch likely, double psi)
    {
        double[] sorted = [.. draws.Select(w => w.PeakKelvin).Order()];
        double Celsius(double share) => SpreadDraws.Quantile(sorted, share) - PieceRun.ZeroCelsius;
        return new(Celsius(Early), Celsius(Middle), Celsius(Late), likely.PeakSeconds / 3600, psi, RunawayScreen.Risk(psi));
    }
}
