using Pourwright.Cure.DataSheets;
using Pourwright.Cure.Kinetics;
using Pourwright.Cure.Ladder;
using Pourwright.Cure.Readiness;
using Pourwright.Cure.Tests.Readiness;

namespace Pourwright.Cure.Tests.DataSheets;

/// <summary>Sheets, and the figures that a known resin would have, reckoned another way than the fit does.</summary>
internal static class Sheets
{
    /// <summary>The deep casting resin: what a sheet without figures leads to.</summary>
    public static ResinCureModel Deep => ResinCureModel.DeepCasting;

    public static DataSheet Of(params SheetFigure[] figures) => Of(CureClass.DeepCasting, figures);

    public static DataSheet Of(CureClass cureClass, params SheetFigure[] figures) =>
        new() { Version = "2025-03", CureClass = cureClass, Figures = figures };

    public static GelTime Gel(ResinCureModel resin, double celsius) =>
        new(FilmHours(resin, celsius, 1 / Math.Sqrt(3)), celsius);

    public static FullCureTime Full(ResinCureModel resin, double celsius)
    {
        var (low, high) = (0.0, 1.0);
        while (high - low > 1e-12)
            if (resin.Reaction.Glass.Kelvin((low + high) / 2) < celsius + 273.15 + 18)
                low = (low + high) / 2;
            else
                high = (low + high) / 2;
        return new(FilmHours(resin, celsius, 0.98 * low), celsius);
    }

    public static DemoldTime Demold(ResinCureModel resin, double depthMm, double celsius) =>
        new(Forecast(resin, depthMm, celsius).Demold.LikelyHours!.Value, depthMm, celsius);

    public static MeasuredPeak Peak(ResinCureModel resin, double depthMm, double celsius) =>
        new(Forecast(resin, depthMm, celsius).Peak.LikelyCelsius, depthMm, celsius);

    // A cup as high as wide: V = π D³/4, A = π D² + 2 π D²/4, A/V = 6/D. Classical Runge–Kutta, 5 s a step, on
    // c dT/dt = H r − h A/(V ρ) (T − T_room) with h = 8 W/(m² K), until conversion 0.20.
    public static PotLife Pot(ResinCureModel resin, long massMg, double celsius)
    {
        var room = celsius + 273.15;
        var width = Math.Cbrt(4 / Math.PI * massMg * 1e-6 / resin.DensityKgPerM3);
        var loss = 8 * 6 / width / resin.DensityKgPerM3;
        (double Kelvin, double Conversion) Slope(double kelvin, double conversion)
        {
            var rate = resin.Reaction.RatePerSecond(conversion, kelvin);
            return ((resin.HeatOfReactionJPerKg * rate - loss * (kelvin - room)) / resin.SpecificHeatJPerKgK, rate);
        }

        var (kelvin, conversion, seconds) = (room, 0.0, 0.0);
        while (true)
        {
            var a = Slope(kelvin, conversion);
            var b = Slope(kelvin + 2.5 * a.Kelvin, conversion + 2.5 * a.Conversion);
            var c = Slope(kelvin + 2.5 * b.Kelvin, conversion + 2.5 * b.Conversion);
            var d = Slope(kelvin + 5 * c.Kelvin, conversion + 5 * c.Conversion);
            var rise = 5.0 / 6 * (a.Conversion + 2 * b.Conversion + 2 * c.Conversion + d.Conversion);
            if (conversion + rise >= 0.20)
                return new((seconds + 5 * (0.20 - conversion) / rise) / 3600, massMg, Vessel.Cup, celsius);
            kelvin += 5.0 / 6 * (a.Kelvin + 2 * b.Kelvin + 2 * c.Kelvin + d.Kelvin);
            (conversion, seconds) = (conversion + rise, seconds + 5);
        }
    }

    // Simpson on t = ∫ dα/r, 4000 intervals.
    private static double FilmHours(ResinCureModel resin, double celsius, double conversion)
    {
        const int Intervals = 4000;
        return Enumerable.Range(0, Intervals + 1).Sum(i =>
            (i is 0 or Intervals ? 1 : i % 2 == 1 ? 4 : 2)
            / resin.Reaction.RatePerSecond(conversion * i / Intervals, celsius + 273.15))
            * conversion / Intervals / 3 / 3600;
    }

    private static PieceLadder Forecast(ResinCureModel resin, double depthMm, double celsius) => LadderForecaster.Forecast(
        Pieces.Of(resin, depthMm, celsius) with { BoardThicknessMm = 0 }, Pieces.NoSpread);
}
