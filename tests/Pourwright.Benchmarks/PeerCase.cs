using Pourwright.Cure.Heat;
using Pourwright.Cure.Kinetics;
using Pourwright.Cure.Readiness;

namespace Pourwright.Benchmarks;

/// <summary>One layer in a steady room, as our solver and as the peer take it.</summary>
/// <param name="Name">What the figure is called after.</param>
/// <param name="Material">The resin.</param>
/// <param name="Kelvin">Temperature of mix and room, in K.</param>
/// <param name="Conversion">At the start.</param>
/// <param name="BaseWPerM2K">Heat-transfer coefficient under the slab.</param>
/// <param name="TopWPerM2K">Heat-transfer coefficient on top.</param>
internal sealed record PeerCase(
    string Name, Material Material, double Kelvin, double Conversion, double BaseWPerM2K, double TopWPerM2K)
{
    public const double Hours = 96;

    private const double DepthMetres = 0.040;
    private const int Cells = 40;

    /// <summary>Deep resin at 20 °C, a peak of 43 °C.</summary>
    public static PeerCase Mild { get; } = new("mild", ResinCureModel.DeepCasting.Material, 293.15, 0, 4, 9);

    /// <summary>The same at 23.5 °C, a peak of 70 °C: near runaway.</summary>
    public static PeerCase Hot { get; } = Mild with { Name = "hot", Kelvin = 296.65 };

    /// <summary>A rate law without glass and with broken exponents, m 0.9 and n 1.6, E 55 kJ/mol, a peak of 52 °C.</summary>
    /// <remarks>Invented inside the usual ranges; rate constants at 298.15 K.</remarks>
    public static PeerCase Broken { get; } = new(
        "broken",
        new(1100, 1800, 0.20, 350e3, new(
            new(7.060e-6, 1.412e-5, 55e3, 55e3, 0.9, 1.6), new NoDiffusionControl(), new(233.15, 325.15, 0.42))),
        293.15, 1e-4, 5, 10);

    public Surroundings Around => new(AmbientCourse.Constant(Kelvin), BaseWPerM2K, TopWPerM2K);

    public Slab Slab() => Cure.Heat.Slab.Of(new(DepthMetres, Cells, Material), Kelvin, Conversion);

    /// <summary>The slab in the peer's words.</summary>
    public IEnumerable<(string Name, double Value)> Arguments
    {
        get
        {
            var (chemistry, glass) = (Material.Reaction!.Chemistry, Material.Reaction.Glass);
            var diffusion = Material.Reaction.Diffusion as Rabinowitch;
            return
            [
                ("nodes", Cells + 1), ("depth", DepthMetres), ("base", BaseWPerM2K), ("top", TopWPerM2K),
                ("conductivity", Material.ConductivityWPerMK), ("density", Material.DensityKgPerM3),
                ("heat_capacity", Material.SpecificHeatJPerKgK), ("heat", Material.HeatOfReactionJPerKg),
                ("k1", chemistry.K1PerSecond), ("k2", chemistry.K2PerSecond), ("e1", chemistry.E1JoulesPerMole),
                ("e2", chemistry.E2JoulesPerMole), ("m", chemistry.M), ("n", chemistry.N),
                ("glass0", glass.UncuredKelvin), ("glass1", glass.CuredKelvin), ("lambda", glass.Lambda),
                ("kd0", diffusion?.Kd0PerSecond ?? 0), ("b", diffusion?.B ?? 0),
                ("free_slope", diffusion?.FreeVolumePerKelvin ?? 0), ("free_glass", diffusion?.FreeVolumeAtGlass ?? 0),
                ("free_least", diffusion?.LeastFreeVolume ?? 0),
                ("start", Kelvin), ("conversion", Conversion), ("air", Kelvin), ("hours", Hours),
            ];
        }
    }
}
