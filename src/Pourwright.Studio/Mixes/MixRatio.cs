using Pourwright.Studio.Resins;
using Pourwright.V1;
using Basis = Pourwright.V1.ResinSystem.Types.Basis;

namespace Pourwright.Studio.Mixes;

/// <summary>What was weighed, against the ratio of the resin system on its own basis.</summary>
/// <param name="System">Whose ratio and basis apply.</param>
/// <param name="AMassMg">Part A, mg; over 0.</param>
/// <param name="BMassMg">Part B, mg; over 0.</param>
public sealed record MixRatio(ResinSystemRecord System, long AMassMg, long BMassMg)
{
    // Rounding of the divisions is near 1e-14 %; a weighing exactly on the limit is inside.
    private const double RoundingPercent = 1e-9;

    /// <summary>Parts of B for 100 of A on the system's basis.</summary>
    /// <remarks>By mass 100 B / A; by volume 100 (B / density B) / (A / density A).</remarks>
    public double HardenerPartsPer100Resin => 100.0 * BMassMg / AMassMg * VolumeFactor(System.Basis);

    /// <summary>Distance from the target, % of the target; positive is too much hardener.</summary>
    public double DeviationPercent => Deviation(HardenerPartsPer100Resin);

    public bool IsInTolerance => Tolerates(DeviationPercent);

    /// <summary>Whether the weighing would be right if the ratio counted the other basis: the mark of a "2:1 by volume" product weighed 2:1.</summary>
    public bool FitsOtherBasis =>
        System is { ADensityKgPerM3: not null, BDensityKgPerM3: not null }
        && Tolerates(Deviation(100.0 * BMassMg / AMassMg * VolumeFactor(OtherBasis)));

    /// <summary>Which part to add, and how many mg of it (rounded up), to come to the target.</summary>
    public (Part Part, long MassMg) WayOut()
    {
        var bMgPerAMg = System.HardenerPartsPer100Resin / 100 / VolumeFactor(System.Basis);
        return DeviationPercent > 0
            ? (Part.A, (long)Math.Ceiling(BMassMg / bMgPerAMg - AMassMg - RoundingMg))
            : (Part.B, (long)Math.Ceiling(AMassMg * bMgPerAMg - BMassMg - RoundingMg));
    }

    // Keeps a whole number of mg from being rounded up by the last bit of a division.
    private const double RoundingMg = 1e-6;

    private Basis OtherBasis => System.Basis == Basis.Volume ? Basis.Mass : Basis.Volume;

    private double VolumeFactor(Basis basis) =>
        basis == Basis.Volume ? System.ADensityKgPerM3!.Value / System.BDensityKgPerM3!.Value : 1;

    private double Deviation(double parts) => 100 * (parts - System.HardenerPartsPer100Resin) / System.HardenerPartsPer100Resin;

    private bool Tolerates(double deviationPercent) => Math.Abs(deviationPercent) <= System.RatioTolerancePercent + RoundingPercent;
}
