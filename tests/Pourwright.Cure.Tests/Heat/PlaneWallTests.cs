using Pourwright.Cure.Heat;
using Pourwright.Cure.Tests.Reference;

namespace Pourwright.Cure.Tests.Heat;

/// <summary>Heat alone, against the series of a plane wall that cools by convection from both faces.</summary>
/// <remarks>
/// θ = Σ C_n exp(−ζ_n² Fo) cos(ζ_n x/L), ζ tan ζ = Bi, with L half the thickness, Fo = a t/L², Bi = h L/k (handbooks of heat
/// transfer). Here k = 0.2 W/(m K), ρ c = 2.035e6 J/(m³ K), L = 20 mm.
/// </remarks>
public class PlaneWallTests
{
    private const double HalfMetres = 0.02;
    private static readonly Material Inert = new(1100, 1850, 0.20);

    public static IEnumerable<object[]> Series =>
        ReferenceFiles.Analytic("slab_series", "Bi", "Fo", "theta_center", "theta_surface");

    public static IEnumerable<object[]> OneTerm => ReferenceFiles.Analytic("slab_one_term", "Bi", "zeta1", "C1");

    // Observed: 1.4e-4 at worst, the grid's part of it (60 cells over 40 mm) at Bi = 10 and Fo = 0.05.
    [Theory]
    [MemberData(nameof(Series))]
    public void Wall_CoolingFromBothFaces_FollowsTheSeries(double biot, double fourier, double centre, double surface)
    {
        var slab = Cooled(biot, fourier);
        Assert.Equal(centre, Theta(slab, slab.Nodes / 2), 3e-4);
        Assert.Equal(surface, Theta(slab, 0), 3e-4);
        Assert.Equal(surface, Theta(slab, slab.Nodes - 1), 3e-4);
    }

    // Past Fo = 0.2 one term is left: θ_centre = C1 exp(−ζ1² Fo). At Fo = 1 the second is below exp(−9.8) = 5e-5.
    [Theory]
    [MemberData(nameof(OneTerm))]
    public void Wall_CoolingForLong_IsLeftWithOneTerm(double biot, double zeta, double amplitude)
    {
        var slab = Cooled(biot, 1);
        Assert.Equal(amplitude * Math.Exp(-zeta * zeta), Theta(slab, slab.Nodes / 2), 3e-4);
    }

    private static Slab Cooled(double biot, double fourier)
    {
        var slab = Slab.Of(new(2 * HalfMetres, 60, Inert), kelvin: 301);
        var coefficient = biot * 0.20 / HalfMetres;
        var seconds = fourier * HalfMetres * HalfMetres * 1100 * 1850 / 0.20;
        new CureSolver(1e-7).Run(slab, new(AmbientCourse.Constant(300), coefficient, coefficient), 0, seconds);
        return slab;
    }

    // From 301 K towards 300 K: θ = T − 300.
    private static double Theta(Slab slab, int node) => slab.Kelvin(node) - 300;
}
