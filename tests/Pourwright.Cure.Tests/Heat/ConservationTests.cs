using Pourwright.Cure.Heat;
using Pourwright.Cure.Readiness;

namespace Pourwright.Cure.Tests.Heat;

/// <summary>What must hold whatever the numbers are.</summary>
public class ConservationTests
{
    // Heat released by reaction = heat stored in the nodes + heat lost through faces and sides.
    [Theory]
    [InlineData("C1")]
    [InlineData("C2")]
    [InlineData("C3")]
    [InlineData("C4")]
    [InlineData("C5")]
    [InlineData("C6")]
    [InlineData("C7")]
    public void Heat_ReleasedByReaction_IsStoredOrLost(string name)
    {
        var reference = ReferenceCase.Named(name);
        var slab = reference.Slab();
        var (released, stored) = (Released(slab), Stored(slab));
        var lost = new HeatLost(reference.Surroundings);
        new CureSolver().Run(slab, reference.Surroundings, 0, reference.EndSeconds, lost);
        (released, stored) = (Released(slab) - released, Stored(slab) - stored);
        Assert.InRange(Math.Abs(released - stored - lost.JoulesPerM2), 0, 1e-3 * released);
    }

    // C7, insulated: T − T0 = (H/c) α exactly; at α = 1 that is 310/1.85 = 167.57 K.
    [Fact]
    public void InsulatedSlab_AtEveryStep_WarmsByHeatOverHeatCapacity()
    {
        var reference = ReferenceCase.Named("C7");
        var worst = 0.0;
        new CureSolver().Run(reference.Slab(), reference.Surroundings, 0, reference.EndSeconds, new Each(solved =>
            worst = Math.Max(worst, Math.Abs(solved.Kelvin(20, 1) - 293.15 - 310e3 / 1850 * solved.Conversion(20, 1)))));
        Assert.InRange(worst, 0, 1e-9 * 167.57);
    }

    [Fact]
    public void Conversion_OfEveryNodeInARunaway_NeverFalls()
    {
        var reference = ReferenceCase.Named("C3");
        var slab = reference.Slab();
        var (before, falls) = (new double[slab.Nodes], 0);
        new CureSolver().Run(slab, reference.Surroundings, 0, reference.EndSeconds, new Each(solved =>
        {
            for (var node = 0; node < before.Length; node++)
            {
                var now = solved.Conversion(node, 1);
                falls += now < before[node] ? 1 : 0;
                before[node] = now;
            }
        }));
        Assert.Equal(0, falls);
        Assert.InRange(before.Max(), 0.99, 1);
    }

    // Two pours of one resin at one time and temperature are one pour: the join of two face nodes must not show.
    [Fact]
    public void TwoLayersPouredTogether_OfOneResin_CureLikeOne()
    {
        var resin = ResinCureModel.DeepCasting.Material;
        var one = Slab.Of(new(0.040, 40, resin), 293.15);
        var two = Slab.Of(new(0.020, 20, resin), 293.15).With(new(0.020, 20, resin), 293.15);
        var around = new Surroundings(AmbientCourse.Constant(293.15), 4, 9);
        new CureSolver().Run(one, around, 0, 12 * 3600);
        new CureSolver().Run(two, around, 0, 12 * 3600);
        Assert.Equal(one.Kelvin(20), two.Kelvin(20), 2e-3);
        Assert.Equal(one.Kelvin(20), two.Kelvin(21), 2e-3);
        Assert.Equal(one.Conversion(20), two.Conversion(21), 2e-5);
    }

    private static double Released(Slab slab) =>
        Enumerable.Range(0, slab.Nodes).Sum(n => slab.HeatPerConversion[n] * slab.Conversion(n));

    private static double Stored(Slab slab) => Enumerable.Range(0, slab.Nodes).Sum(n => slab.Capacity[n] * slab.Kelvin(n));

    private sealed class Each(Action<SolvedStep> saw) : IStepWatch
    {
        public void Saw(SolvedStep solved) => saw(solved);
    }

    // Simpson's rule over each step.
    private sealed class HeatLost(Surroundings around) : IStepWatch
    {
        public double JoulesPerM2 { get; private set; }

        public void Saw(SolvedStep solved) =>
            JoulesPerM2 += solved.LengthSeconds / 6 * (Watts(solved, 0) + 4 * Watts(solved, 0.5) + Watts(solved, 1));

        private double Watts(SolvedStep solved, double at)
        {
            var (slab, air) = (solved.Slab, around.Ambient.Kelvin(solved.FromSeconds + at * solved.LengthSeconds));
            return around.BaseWPerM2K * (solved.Kelvin(0, at) - air)
                + around.TopWPerM2K * (solved.Kelvin(slab.Nodes - 1, at) - air)
                + around.SideWPerM3K * Enumerable.Range(0, slab.Nodes)
                    .Sum(n => slab.ResinMetres[n] * (solved.Kelvin(n, at) - air));
        }
    }
}
