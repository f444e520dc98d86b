using System.Globalization;
using Pourwright.Cure.Heat;
using Pourwright.Cure.Kinetics;

namespace Pourwright.Cure.Readiness;

/// <summary>One resin system as the engine knows it: rate law, heat, and thermal properties, under a revision.</summary>
/// <param name="Revision">Names this set of numbers; every forecast carries it.</param>
/// <param name="Reaction">Rate law, diffusion control and glass transition.</param>
/// <param name="HeatOfReactionJPerKg">Heat set free from conversion 0 to 1, in J per kg of mix.</param>
/// <param name="DensityKgPerM3">Density of the mix, in kg/m³.</param>
/// <param name="SpecificHeatJPerKgK">Specific heat of the mix, in J/(kg K).</param>
/// <param name="ConductivityWPerMK">Thermal conductivity of the mix, in W/(m K).</param>
public sealed record ResinCureModel(
    string Revision, CureReaction Reaction, double HeatOfReactionJPerKg,
    double DensityKgPerM3, double SpecificHeatJPerKgK, double ConductivityWPerMK)
{
    /// <summary>A slow resin for castings about 40 mm deep.</summary>
    /// <remarks>
    /// Illustrative, no product: chosen inside literature ranges so that 40 mm at 20 °C behave as common practice says (demold
    /// after one to three days, peak of 40 to 60 °C). Activation energies of amine-cured epoxies 44–63 kJ/mol [Barral1995]
    /// [CureOfDgebaWithPda2006] (abstracts seen, papers not); heat of reaction 98–110 kJ per mole of epoxide and the thermal
    /// properties from memory, not re-checked.
    /// </remarks>
    public static ResinCureModel DeepCasting { get; } = new(
        "deep-casting-1",
        new(new(6.0e-6, 2.6e-5, 50e3, 46e3, M: 1, N: 1.7), new Rabinowitch(20, 0, 0.25), new(233.15, 325.15, 0.42)),
        310e3, 1100, 1850, 0.20);

    /// <summary>A quick resin for coats up to about 10 mm: 40 mm of it run away.</summary>
    /// <remarks>Illustrative, no product; ranges and their sources as for <see cref="DeepCasting"/>.</remarks>
    public static ResinCureModel FastCoating { get; } = new(
        "fast-coating-1",
        new(new(2.2e-5, 1.3e-4, 54e3, 48e3, M: 1, N: 1.9), new Rabinowitch(200, 0, 0.25), new(243.15, 333.15, 0.40)),
        350e3, 1100, 1850, 0.20);

    /// <summary>What a layer of it is made of.</summary>
    public Material Material => new(DensityKgPerM3, SpecificHeatJPerKgK, ConductivityWPerMK, HeatOfReactionJPerKg, Reaction);

    /// <summary>The same resin with both chemical rate constants multiplied; the revision says so.</summary>
    /// <exception cref="CureRangeException">The factor is not between 0.05 and 20.</exception>
    public ResinCureModel WithRateScale(double factor)
    {
        CureRangeException.Check("Rate scale", factor, 0.05, 20, "");
        var revision = string.Create(CultureInfo.InvariantCulture, $"{Revision} rate x{factor:0.###}");
        return Scaled(factor, 1, 0) with { Revision = revision };
    }

    internal ResinCureModel Departed(Departure departure) =>
        Scaled(departure.RateFactor, departure.HeatFactor, departure.GlassShiftKelvin);

    /// <summary>
    /// The same revision with rates and heat multiplied and the glass transition shifted: one draw of a forecast.
    /// </summary>
    internal ResinCureModel Scaled(double rate, double heat, double glassShiftKelvin) => this with
    {
        HeatOfReactionJPerKg = HeatOfReactionJPerKg * heat,
        Reaction = Reaction with
        {
            Chemistry = Reaction.Chemistry with
            {
                K1PerSecond = Reaction.Chemistry.K1PerSecond * rate,
                K2PerSecond = Reaction.Chemistry.K2PerSecond * rate,
            },
            Glass = Reaction.Glass with
            {
                UncuredKelvin = Reaction.Glass.UncuredKelvin + glassShiftKelvin,
                CuredKelvin = Reaction.Glass.CuredKelvin + glassShiftKelvin,
            },
        },
    };
}
