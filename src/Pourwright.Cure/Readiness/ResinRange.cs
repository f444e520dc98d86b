namespace Pourwright.Cure.Readiness;

/// <summary>The resins that the engine answers for.</summary>
/// <remarks>
/// Wide enough for what is fitted and drawn here, and no wider than what ten thousand random castings were solved over without a
/// fault (tests/Pourwright.Cure.Tests/Readiness/RandomPour.cs): beyond it a runaway may outpace the shortest step.
/// </remarks>
internal static class ResinRange
{
    private static readonly Bounds K1 = new("Rate constant k1", 0, 3e-3, "1/s");
    private static readonly Bounds K2 = new("Rate constant k2", 0, 3e-3, "1/s");
    private static readonly Bounds E1 = new("Activation energy E1", 30e3, 65e3, "J/mol");
    private static readonly Bounds E2 = new("Activation energy E2", 30e3, 65e3, "J/mol");
    private static readonly Bounds M = new("Exponent m", 0.5, 2, "");
    private static readonly Bounds N = new("Exponent n", 0.9, 3, "");
    private static readonly Bounds Heat = new("Heat of reaction", 50e3, 500e3, "J/kg");
    private static readonly Bounds Density = new("Density", 800, 2500, "kg/m³");
    private static readonly Bounds SpecificHeat = new("Specific heat", 800, 3000, "J/(kg K)");
    private static readonly Bounds Conductivity = new("Conductivity", 0.05, 2, "W/(m K)");
    private static readonly Bounds UncuredGlass = new("Glass transition of the liquid", 150, 290, "K");
    private static readonly Bounds CuredGlass = new("Glass transition at full cure", 300, 400, "K");
    private static readonly Bounds Lambda = new("Lambda of the glass transition", 0.2, 0.8, "");

    /// <exception cref="CureRangeException">A number of the resin lies outside.</exception>
    public static void Check(ResinCureModel resin)
    {
        var (chemistry, glass) = (resin.Reaction.Chemistry, resin.Reaction.Glass);
        K1.Check(chemistry.K1PerSecond);
        K2.Check(chemistry.K2PerSecond);
        E1.Check(chemistry.E1JoulesPerMole);
        E2.Check(chemistry.E2JoulesPerMole);
        M.Check(chemistry.M);
        N.Check(chemistry.N);
        Heat.Check(resin.HeatOfReactionJPerKg);
        Density.Check(resin.DensityKgPerM3);
        SpecificHeat.Check(resin.SpecificHeatJPerKgK);
        Conductivity.Check(resin.ConductivityWPerMK);
        UncuredGlass.Check(glass.UncuredKelvin);
        CuredGlass.Check(glass.CuredKelvin);
        Lambda.Check(glass.Lambda);
    }

    /// <summary>The resin with what a fit moves set to the edge where it lies outside.</summary>
    public static ResinCureModel Nearest(ResinCureModel resin)
    {
        var (chemistry, glass) = (resin.Reaction.Chemistry, resin.Reaction.Glass);
        var inside = chemistry with
        {
            K1PerSecond = K1.Nearest(chemistry.K1PerSecond),
            K2PerSecond = K2.Nearest(chemistry.K2PerSecond),
            E1JoulesPerMole = E1.Nearest(chemistry.E1JoulesPerMole),
            E2JoulesPerMole = E2.Nearest(chemistry.E2JoulesPerMole),
            N = N.Nearest(chemistry.N),
        };
        return resin with
        {
            Reaction = resin.Reaction with
            {
                Chemistry = inside, Glass = glass with { CuredKelvin = CuredGlass.Nearest(glass.CuredKelvin) },
            },
            HeatOfReactionJPerKg = Heat.Nearest(resin.HeatOfReactionJPerKg),
        };
    }

    private sealed record Bounds(string Quantity, double Lowest, double Highest, string Unit)
    {
        public void Check(double value) => CureRangeException.Check(Quantity, value, Lowest, Highest, Unit);

        public double Nearest(double value) => Math.Clamp(value, Lowest, Highest);
    }
}
