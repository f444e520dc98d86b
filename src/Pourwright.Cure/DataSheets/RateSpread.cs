using Pourwright.Cure.Kinetics;
using Pourwright.Cure.Readiness;

namespace Pourwright.Cure.DataSheets;

/// <summary>How far the rate may still be off after a sheet was read, in ln.</summary>
/// <remarks>
/// σ² = gᵀ (I + JᵀJ)⁻¹ g with g = ∂ ln t/∂u, t the time in which a film at 20 °C turns to glass (Tg = T): the demold time of a
/// piece too thin to warm itself. There ln t falls by exactly as much as the ln of both rates rises, so its spread is one of the
/// rate and holds what is left open of order and glass transition as well. A deep casting would not do: near running away its
/// demold time follows the rate two or three times over, and once it has run away hardly at all. Where the film never turns to
/// glass, its gel time.
/// </remarks>
internal static class RateSpread
{
    /// <summary>No sheet promises the next batch more closely than to 10 % (our choice, no source).</summary>
    public const double Least = 0.10;

    /// <summary>
    /// A class alone: castings are demolded after 24 to 72 h (common practice, no source); ln 3 between 5 and 95 % is
    /// ln 3/(2 · 1.645) = 0.33. A sheet that leaves more open says no more than that.
    /// </summary>
    public const double Most = 0.35;

    private const double RoomKelvin = 20 + PieceRun.ZeroCelsius;

    // Rates vanish at conversion 1: a candidate beside the fitted one may come that close.
    private const double MostConversion = 0.999;

    /// <summary>The spread, in ln, between <see cref="Least"/> and <see cref="Most"/>.</summary>
    public static double LnSd(SheetFit fit, CureReaction fitted)
    {
        Func<Candidate, double> lnHours = fitted.Glass.CuredKelvin > RoomKelvin
            ? candidate => LnHours(Math.Min(candidate.Resin.Reaction.Glass.Conversion(RoomKelvin), MostConversion), candidate)
            : candidate => LnHours(GelPoint.DiepoxideDiamine, candidate);
        return Math.Clamp(fit.Deviation(lnHours), Least, Most);
    }

    private static double LnHours(double conversion, Candidate candidate) =>
        Math.Log(ThinFilm.HoursTo(conversion, candidate.Resin.Reaction, RoomKelvin));
}
