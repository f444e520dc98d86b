using Pourwright.Studio.Resins;

namespace Pourwright.Studio.Needs;

/// <summary>How little and how much of B a weighed A allows, in mg.</summary>
public sealed record RatioBand(long LeastMg, long MostMg)
{
    // Keeps a limit that is a whole number of mg from being cut by the last bit of a product.
    private const double RoundingMg = 1e-6;

    /// <summary>B = A × parts/100 × (1 ± tolerance), whole milligrams inside.</summary>
    public static RatioBand Of(ResinSystemRecord system, long aMassMg)
    {
        var targetMg = aMassMg * NeedResin.HardenerPartsByMass(system) / 100;
        var toleranceMg = targetMg * system.RatioTolerancePercent / 100;
        return new((long)Math.Ceiling(targetMg - toleranceMg - RoundingMg), (long)Math.Floor(targetMg + toleranceMg + RoundingMg));
    }
}
