using Pourwright.Cure.Heat;
using Pourwright.Cure.Kinetics;

namespace Pourwright.Cure.Tests.Heat;

/// <summary>
/// The edge of runaway, where heat set free can just leave: the slab of Frank-Kamenetskii and the lumped body of Semenov.
/// </summary>
/// <remarks>
/// Both want a reaction that is not used up and grows as e^θ, θ = (T − T0) E/(R T0²). Here E = 3e6 J/mol, so one θ is 0.25 K and
/// e^θ holds to 1e-3; the heat of reaction is so great that conversion stays below 1e-5.
/// </remarks>
public class ThermalExplosionTests
{
    private const double Energy = 3e6;
    private const double Kelvin0 = KamalSourour.ReferenceKelvin;
    private const double ThetaKelvin = KamalSourour.GasConstant * Kelvin0 * Kelvin0 / Energy;
    private const double WattsPerMK = 0.20;
    private const double CapacityPerM3 = 1100 * 1850;

    // Steady slab, faces at T0: δ = 2 e^(−θm) arccosh²(e^(θm/2)), greatest δ = 0.878458 at θm = 1.186842 (from analytic.json).
    [Theory]
    [InlineData(0.40)]
    [InlineData(0.70)]
    [InlineData(0.86)]
    public void Slab_BelowTheCriticalDelta_SettlesAtTheClosedForm(double delta)
    {
        double Delta(double theta) => 2 * Math.Exp(-theta) * Math.Pow(Math.Acosh(Math.Exp(theta / 2)), 2);
        var expected = Bisected(theta => Delta(theta) - delta, 0, 1.186842);
        Assert.Equal(expected, Theta(SlabAt(delta, diffusionTimes: 60)), 0.01 * expected);
    }

    // No steady state is left and the resin is not used up: temperature has no bound, and the solver says so.
    [Fact]
    public void Slab_AboveTheCriticalDelta_ExplodesInFiniteTime()
    {
        Assert.Throws<CureUnsolvedException>(() => SlabAt(0.91, diffusionTimes: 60));
    }

    // Lumped: d·q e^θ = h_sum θ gives θ e^(−θ) = ψ, greatest ψ = 1/e at θ = 1. 2 mm and 1 W/(m² K) make Bi = 0.005.
    [Theory]
    [InlineData(0.20)]
    [InlineData(0.30)]
    [InlineData(0.36)]
    public void ThinBody_BelowPsiOfOneOverE_SettlesAtTheClosedForm(double psi)
    {
        var expected = Bisected(theta => theta * Math.Exp(-theta) - psi, 0, 1);
        Assert.Equal(expected, Theta(ThinAt(psi, hours: 60)), 0.02 * expected);
    }

    [Fact]
    public void ThinBody_AbovePsiOfOneOverE_ExplodesInFiniteTime()
    {
        Assert.Throws<CureUnsolvedException>(() => ThinAt(0.38, hours: 60));
    }

    private static double Theta(Slab slab) => (slab.Kelvin(slab.Nodes / 2) - Kelvin0) / ThetaKelvin;

    private static Slab SlabAt(double delta, double diffusionTimes)
    {
        const double half = 0.02;
        var watts = delta * WattsPerMK * ThetaKelvin / (half * half);
        return Run(2 * half, 60, watts, 1e6, diffusionTimes * half * half * CapacityPerM3 / WattsPerMK);
    }

    private static Slab ThinAt(double psi, double hours) => Run(0.002, 4, psi * 2 * 1 * ThetaKelvin / 0.002, 1, hours * 3600);

    // W per m³ at T0 = ρ H k.
    private static Slab Run(double depth, int cells, double wattsPerM3, double faceWPerM2K, double seconds)
    {
        const double rate = 1e-12;
        var law = new CureReaction(new(rate, 0, Energy, Energy, 1, 1), new NoDiffusionControl(), new(250, 330, 0.4));
        var slab = Slab.Of(new(depth, cells, new(1100, 1850, WattsPerMK, wattsPerM3 / (1100 * rate), law)), Kelvin0);
        new CureSolver(1e-6).Run(slab, new(AmbientCourse.Constant(Kelvin0), faceWPerM2K, faceWPerM2K), 0, seconds);
        return slab;
    }

    private static double Bisected(Func<double, double> rising, double low, double high)
    {
        while (high - low > 1e-12)
            (low, high) = rising((low + high) / 2) < 0 ? ((low + high) / 2, high) : (low, (low + high) / 2);
        return low;
    }
}
