using Pourwright.Cure.Kinetics;

namespace Pourwright.Cure.Readiness;

/// <summary>Whether a pour can heat itself faster than it cools: the lumped criterion of Semenov, before any run.</summary>
/// <remarks>
/// ψ = ρ H r_max d E/((h_base + h_top) R T²): heat set free at the greatest isothermal rate at temperature T, over the heat that
/// the faces carry away, in units of the temperature that speeds the reaction e-fold. Without depletion the lumped limit is ψ =
/// 1/e = 0.368 [Semenov1928]. E is that of the autocatalysed path, which carries the reaction at r_max (of the only path when k2
/// = 0).
/// Classes: 0.30 and 0.45, from thirteen computed runs of two illustrative resins with h_base + h_top = 13 W/(m² K): below 0.30
/// the resin rose by 10 K or less, above 0.45 it passed 80 °C. No measured casting stands behind them.
/// </remarks>
public static class RunawayScreen
{
    private const double CautionFrom = 0.30;
    private const double RunawayFrom = 0.45;
    private const int Samples = 200;

    /// <summary>ψ, without unit.</summary>
    /// <param name="resin">The resin.</param>
    /// <param name="depthMetres">Depth of resin that can still react, in m.</param>
    /// <param name="kelvin">Temperature at which it starts, in K.</param>
    /// <param name="facesWPerM2K">Heat-transfer coefficients of both faces, summed, in W/(m² K).</param>
    public static double Psi(ResinCureModel resin, double depthMetres, double kelvin, double facesWPerM2K)
    {
        var (chemistry, heatPerM2) = (resin.Reaction.Chemistry, resin.DensityKgPerM3 * resin.HeatOfReactionJPerKg * depthMetres);
        var energy = chemistry.K2PerSecond > 0 ? chemistry.E2JoulesPerMole : chemistry.E1JoulesPerMole;
        return heatPerM2 * GreatestRatePerSecond(resin.Reaction, kelvin) * energy
            / (facesWPerM2K * KamalSourour.GasConstant * kelvin * kelvin);
    }

    /// <summary>The greatest ψ of the pours of a piece, without unit.</summary>
    /// <remarks>
    /// Each pour is screened at its own depth plus that of earlier pours less than a day old, as if none of those had reacted,
    /// and at the warmer of mix and air: both on the safe side.
    /// </remarks>
    internal static double Psi(PieceCase piece) => piece.Layers.Max(pour => Psi(
        pour.Resin,
        piece.Layers.Where(l => l.AtHours <= pour.AtHours && l.AtHours > pour.AtHours - 24).Sum(l => l.DepthMm) / 1000,
        PieceRun.ZeroCelsius + Math.Max(pour.TemperatureCelsius, PieceRun.AirCelsius(piece, pour.AtHours)),
        PieceRun.FacesWPerM2K(piece.BoardThicknessMm)));

    /// <summary>The same of a piece that departs from the one described.</summary>
    internal static double Psi(PieceCase piece, Departure departure) => Psi(piece with
    {
        Layers = [.. piece.Layers.Select(layer => layer with { Resin = layer.Resin.Departed(departure) })],
    });

    /// <summary>The class of a ψ.</summary>
    public static RunawayRisk Risk(double psi) =>
        psi < CautionFrom ? RunawayRisk.Mild : psi <= RunawayFrom ? RunawayRisk.Caution : RunawayRisk.Runaway;

    private static double GreatestRatePerSecond(CureReaction reaction, double kelvin) =>
        Enumerable.Range(0, Samples).Max(i => reaction.RatePerSecond((double)i / Samples, kelvin));
}
