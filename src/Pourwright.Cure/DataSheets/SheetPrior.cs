using Pourwright.Cure.Kinetics;
using Pourwright.Cure.Readiness;

namespace Pourwright.Cure.DataSheets;

/// <summary>What is known of a resin before its figures are read: a model and seven independent normal spreads.</summary>
/// <remarks>
/// A candidate stands u spreads away from the model, one u a parameter:
/// k1 = k1⁰ c e^(−q/2), k2 = k2⁰ c e^(q/2), so c is the scale of the geometric mean and q shifts ln(k2/k1). With spreads of
/// 0.7/√2 and 0.7·√2 that is the same as 0.7 for ln k1 and ln k2 each, independent (our choice: a factor of two either way).
/// n: 0.20 in ln. E: 0.12 in ln, from 50 ± 6 kJ/mol, the middle of 44–63 [Barral1995] [CureOfDgebaWithPda2006]; one factor for E1
/// and E2, about 25 °C. Tg∞: 10 K (45–60 °C and 50–70 °C by class, common practice, no source). Heat loss: 0.30 in ln (our
/// choice: nobody says what a maker's piece stood on). Fixed: gel conversion, m = 1, Tg0, λ, diffusion, c and k.
/// </remarks>
internal sealed class SheetPrior
{
    /// <summary>Candidates stay this close to the model, in spreads.</summary>
    public const double MostSpreads = 3.5;

    /// <summary>Number of parameters.</summary>
    public const int Parameters = 7;

    /// <summary>Place of Tg∞ among them.</summary>
    public const int FinalGlass = 5;

    private const double RateConstantLnSd = 0.7;
    private const double EpoxideJoulesPerMole = 103e3;

    private readonly double[] spreads;

    public SheetPrior(DataSheet sheet)
    {
        var archetype = sheet.CureClass == CureClass.FastCoating ? ResinCureModel.FastCoating : ResinCureModel.DeepCasting;
        var (heat, heatLnSd) = Heat(sheet, archetype);
        Median = archetype with
        {
            HeatOfReactionJPerKg = heat,
            DensityKgPerM3 = SheetRatio.MixDensityKgPerM3(sheet) ?? archetype.DensityKgPerM3,
        };
        IsOfTheClass = Median == archetype;
        spreads = [RateConstantLnSd / Math.Sqrt(2), RateConstantLnSd * Math.Sqrt(2), 0.20, 0.12, heatLnSd, 10, 0.30];
    }

    /// <summary>The model before any figure is read.</summary>
    public ResinCureModel Median { get; }

    /// <summary>Whether that is the model of the class as it stands: neither heat nor density from the sheet.</summary>
    public bool IsOfTheClass { get; }

    /// <summary>Spread of a parameter, in ln, or in K for Tg∞.</summary>
    public double Spread(int parameter) => spreads[parameter];

    /// <summary>The candidate at u spreads from the median; where that lies outside what the engine answers for, at its edge.</summary>
    public Candidate At(double[] u)
    {
        double Shift(int parameter) => spreads[parameter] * u[parameter];
        var (law, energy) = (Median.Reaction.Chemistry, Math.Exp(Shift(3)));
        var chemistry = law with
        {
            K1PerSecond = law.K1PerSecond * Math.Exp(Shift(0) - Shift(1) / 2),
            K2PerSecond = law.K2PerSecond * Math.Exp(Shift(0) + Shift(1) / 2),
            N = law.N * Math.Exp(Shift(2)),
            E1JoulesPerMole = law.E1JoulesPerMole * energy,
            E2JoulesPerMole = law.E2JoulesPerMole * energy,
        };
        var glass = Median.Reaction.Glass with { CuredKelvin = Median.Reaction.Glass.CuredKelvin + Shift(FinalGlass) };
        var resin = Median with
        {
            Reaction = Median.Reaction with { Chemistry = chemistry, Glass = glass },
            HeatOfReactionJPerKg = Median.HeatOfReactionJPerKg * Math.Exp(Shift(4)),
        };
        return new(ResinRange.Nearest(resin), Math.Exp(Shift(6)));
    }

    /// <summary>Heat of reaction, in J/kg, and its spread in ln.</summary>
    /// <remarks>
    /// 103 kJ per mole of epoxide over EEW + AHEW grams of a mix in exact proportion: 365 J/g for 187 + 95, 404 J/g for 195 + 60
    /// (98–110 kJ/mol: ±0.06, from memory, not re-checked). Without both weights that of the class ± 0.12, which spans the 290–360
    /// J/g usual once diluents are in (from memory, not re-checked).
    /// </remarks>
    private static (double JPerKg, double LnSd) Heat(DataSheet sheet, ResinCureModel archetype)
    {
        if (sheet is not { EpoxideEquivalentGramsPerMole: { } epoxide, AmineHydrogenEquivalentGramsPerMole: { } amine })
            return (archetype.HeatOfReactionJPerKg, 0.12);
        var heat = EpoxideJoulesPerMole / (epoxide + amine) * 1000;
        CureRangeException.Check("Heat of reaction of these equivalent weights", heat, 100e3, 480e3, "J/kg");
        return (heat, 0.06);
    }
}
