using Pourwright.Cure.Kinetics;

namespace Pourwright.Cure.Heat;

/// <summary>What a layer is made of, in SI units, constant over temperature and conversion.</summary>
/// <remarks>
/// Real resin warms and stiffens as it cures (heat capacity 1.8–2.0 liquid, 1.3–1.6 glassy J/(g K), from memory, not re-checked):
/// constants make the step from mild to runaway sharper than it is.
/// </remarks>
/// <param name="DensityKgPerM3">Density, in kg/m³.</param>
/// <param name="SpecificHeatJPerKgK">Specific heat, in J/(kg K).</param>
/// <param name="ConductivityWPerMK">Thermal conductivity, in W/(m K).</param>
/// <param name="HeatOfReactionJPerKg">Heat set free from conversion 0 to 1, in J/kg; 0 for wood.</param>
/// <param name="Reaction">Rate law; null for wood.</param>
public sealed record Material(
    double DensityKgPerM3, double SpecificHeatJPerKgK, double ConductivityWPerMK,
    double HeatOfReactionJPerKg = 0, CureReaction? Reaction = null)
{
    /// <summary>A wood-based panel: 650 kg/m³, 1700 J/(kg K), 0.13 W/(m K).</summary>
    /// <remarks>Inside the usual ranges 450–750, 1600–1900 and 0.10–0.18 (from memory, not re-checked).</remarks>
    public static Material WoodBasedBoard { get; } = new(650, 1700, 0.13);
}

/// <summary>One layer of the slab, divided into equal cells.</summary>
/// <param name="DepthMetres">Depth, in m.</param>
/// <param name="Cells">Number of cells; a layer has one node more than cells.</param>
/// <param name="Material">What it is made of.</param>
public sealed record SlabLayer(double DepthMetres, int Cells, Material Material);
