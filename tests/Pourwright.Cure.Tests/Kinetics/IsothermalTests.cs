using Pourwright.Cure.Heat;
using Pourwright.Cure.Kinetics;
using Pourwright.Cure.Tests.Reference;

namespace Pourwright.Cure.Tests.Kinetics;

/// <summary>
/// Rate laws through the solver itself, against their integrals at a constant 25 °C, where k_i is what is stored.
/// </summary>
public class IsothermalTests
{
    public static IEnumerable<object[]> NthOrder => ReferenceFiles.Analytic("iso_nth", "n", "k", "t_s", "alpha");

    public static IEnumerable<object[]> AutocatalyticFirst =>
        ReferenceFiles.Analytic("iso_autocat_m1n1", "k1", "k2", "t_h", "alpha");

    public static IEnumerable<object[]> AutocatalyticSecond =>
        ReferenceFiles.Analytic("iso_autocat_m1n2", "k1", "k2", "t_h", "alpha");

    // α = 1 − [1 + (n − 1) k t]^(−1/(n−1)); for n = 1, 1 − e^(−1.8) = 0.834701.
    [Theory]
    [MemberData(nameof(NthOrder))]
    public void NthOrder_AtConstantTemperature_FollowsItsIntegral(double n, double k, double seconds, double conversion)
    {
        Assert.Equal(conversion, After(new(k, 0, 50e3, 50e3, 1, n), seconds), 1e-6);
    }

    // m = n = 1: α = (1 − e)/(1 + (k2/k1) e), e = exp(−(k1 + k2) t).
    [Theory]
    [MemberData(nameof(AutocatalyticFirst))]
    public void Autocatalytic_WithNOfOne_FollowsItsIntegral(double k1, double k2, double hours, double conversion)
    {
        Assert.Equal(conversion, After(new(k1, k2, 50e3, 46e3, 1, 1), hours * 3600), 1e-6);
    }

    // m = 1, n = 2: t = α/((1 − α) S) + (k2/S²) ln[(k1 + k2 α)/(k1 (1 − α))], S = k1 + k2.
    [Theory]
    [MemberData(nameof(AutocatalyticSecond))]
    public void Autocatalytic_WithNOfTwo_FollowsItsIntegral(double k1, double k2, double hours, double conversion)
    {
        Assert.Equal(conversion, After(new(k1, k2, 50e3, 46e3, 1, 2), hours * 3600), 1e-6);
    }

    private static double After(KamalSourour law, double seconds)
    {
        var reaction = new CureReaction(law, new NoDiffusionControl(), new(233.15, 325.15, 0.42));
        var slab = Slab.Of(new(0.01, 4, new(1100, 1850, 0.2, 0, reaction)), KamalSourour.ReferenceKelvin);
        new CureSolver(1e-7).Run(slab, new(AmbientCourse.Constant(KamalSourour.ReferenceKelvin), 9, 9), 0, seconds);
        return slab.Conversion(2);
    }
}
