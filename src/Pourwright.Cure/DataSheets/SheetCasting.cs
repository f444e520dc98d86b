using Pourwright.Cure.Heat;
using Pourwright.Cure.Readiness;

namespace Pourwright.Cure.DataSheets;

/// <summary>A resin on trial, and a factor on every heat-transfer coefficient around it.</summary>
internal sealed class Candidate(ResinCureModel resin, double heatLossFactor)
{
    // A sheet often speaks of one casting two or three times: its demold time, its peak.
    private readonly Dictionary<(double DepthMm, double TemperatureCelsius), SheetCasting> castings = [];

    public ResinCureModel Resin => resin;

    public double HeatLossFactor => heatLossFactor;

    /// <summary>The casting of a sheet made of this resin: one pour, no board under it, a room that never changes.</summary>
    public SheetCasting Cast(double depthMm, double temperatureCelsius)
    {
        if (!castings.TryGetValue((depthMm, temperatureCelsius), out var casting))
            castings[(depthMm, temperatureCelsius)] = casting = SheetCasting.Of(this, depthMm, temperatureCelsius);
        return casting;
    }
}

/// <summary>What a casting does, through its depth.</summary>
/// <remarks>
/// A model that never lets it be demolded answers 2000 h, and e times more for each 10 K that it stays short: never a time to
/// tell anyone, only a slope that leads a fit back to models that do.
/// </remarks>
/// <param name="DemoldHours">Time until Tg − T ≥ 0 K everywhere, in h.</param>
/// <param name="PeakCelsius">Hottest point, in °C.</param>
internal sealed record SheetCasting(double DemoldHours, double PeakCelsius)
{
    private const double LongestHours = 2000;
    private const double KelvinPerEFold = 10;

    public static SheetCasting Of(Candidate candidate, double depthMm, double temperatureCelsius)
    {
        var piece = new PieceCase
        {
            Layers = [new(0, depthMm, temperatureCelsius, candidate.Resin)],
            Ambient = [new(0, temperatureCelsius)],
            BoardThicknessMm = 0,
            HorizonHours = LongestHours,
        };
        var (watch, detail) = (new GateWatch(workKelvin: 0), Detail.Coarse);
        var departure = Departure.None with { HeatLossFactor = candidate.HeatLossFactor };
        PieceRun.Solve(new CureSolver(detail.Tolerance), piece, departure, detail, watch);
        return new(
            double.IsFinite(watch.DemoldSeconds) ? watch.DemoldSeconds / 3600 : LateHours(candidate, watch, temperatureCelsius),
            watch.PeakKelvin - PieceRun.ZeroCelsius);
    }

    private static double LateHours(Candidate candidate, GateWatch watch, double temperatureCelsius)
    {
        var glassKelvin = candidate.Resin.Reaction.Glass.Kelvin(watch.LeastConversion);
        var shortKelvin = Math.Max(0, temperatureCelsius + PieceRun.ZeroCelsius - glassKelvin);
        return LongestHours * Math.Exp(shortKelvin / KelvinPerEFold);
    }
}
