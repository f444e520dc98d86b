using Pourwright.Cure.Heat;
using Pourwright.Cure.Kinetics;

namespace Pourwright.Cure.Tests.Heat;

/// <summary>How the solver steps.</summary>
public class CureSolverTests
{
    private static readonly CureReaction Isothermal = new(
        new(5e-6, 4e-5, 50e3, 46e3, 1, 1), new NoDiffusionControl(), new(233.15, 325.15, 0.42));

    // The estimate of order 2 sets steps to tolerance^(1/3), and the method of order 3 then errs in proportion to the tolerance:
    // 512 times tighter should mean 512 times closer; a hundred times is asked.
    [Fact]
    public void Error_WhenTheToleranceIsTightened_FallsInProportion()
    {
        var exact = Autocatalytic(5e-6, 4e-5, 24 * 3600);
        double Error(double tolerance) => Math.Abs(ConversionAfter(24 * 3600, tolerance) - exact);
        Assert.InRange(Error(1e-3), 1e-6, 1e-2);
        Assert.InRange(Error(1e-3 / 512) / Error(1e-3), 0, 1.0 / 100);
    }

    // The tolerance in use against one a hundred times tighter: no event of C1 moves by more than 0.02 h.
    [Theory]
    [InlineData("C1")]
    [InlineData("C5")]
    [InlineData("C6")]
    public void Events_WithATighterTolerance_StayWhereTheyAre(string name)
    {
        var (usual, tight) = (Events(name, CureSolver.DefaultTolerance), Events(name, CureSolver.DefaultTolerance / 100));
        var times = usual.Where(e => e.Key.EndsWith("_h", StringComparison.Ordinal));
        Assert.All(times, e => Assert.Equal(tight[e.Key], e.Value, 0.02));
    }

    // Second order in space: halving the cells from 2 to 1 to 0.5 mm divides the change by four.
    [Fact]
    public void Peak_WhenTheCellsAreHalved_ConvergesAtSecondOrder()
    {
        double Peak(double cellMm) => Events("C1", 1e-8, cellMm)["peak_T_C"];
        var (coarse, middle, fine) = (Peak(2), Peak(1), Peak(0.5));
        Assert.InRange((middle - coarse) / (fine - middle), 3.5, 4.5);
    }

    [Fact]
    public void Steps_OfANightSetBack_EndOnEveryBendOfTheAmbient()
    {
        var reference = ReferenceCase.Named("C5");
        List<double> ends = [];
        new CureSolver().Run(reference.Slab(), reference.Surroundings, 0, reference.EndSeconds, new Ends(ends));
        double[] bends = [8, 10, 16, 18, 32, 34, 40, 42, 56, 58, 64, 66, 168];
        Assert.All(bends, hours => Assert.Contains(hours * 3600, ends));
    }

    [Fact]
    public void Steps_OfARoomLoggedEveryMinuteAtOneTemperature_AreNotMore()
    {
        var reference = ReferenceCase.Named("C1");
        var (level, logged) = (new CureSolver(), new CureSolver());
        level.Run(reference.Slab(), reference.Surroundings, 0, reference.EndSeconds);
        var minutes = new AmbientCourse(Enumerable.Range(0, 168 * 60).Select(i => (i * 60.0, 293.15)));
        logged.Run(reference.Slab(), reference.Surroundings with { Ambient = minutes }, 0, reference.EndSeconds);
        Assert.Equal(level.StepsAccepted, logged.StepsAccepted, 2.0);
    }

    // Minutes of a sine of 4 K over a day: a chord within 0.2 K on one side spans √(8 · 0.2/4)/ω = 2.4 h, so 10 bends a day, not
    // 1440.
    [Fact]
    public void Ambient_LeftOutWithinALimit_StaysWithinItOfEveryPoint()
    {
        (double Seconds, double Kelvin)[] minutes =
            [.. Enumerable.Range(0, 1441).Select(i => (i * 60.0, 293.15 + 4 * Math.Sin(2 * Math.PI * i / 1440)))];
        var course = new AmbientCourse(minutes, withinKelvin: 0.2);
        Assert.All(minutes, m => Assert.InRange(course.Kelvin(m.Seconds), m.Kelvin - 0.2 - 1e-9, m.Kelvin + 0.2 + 1e-9));
        Assert.Equal(293.15, course.Kelvin(1440 * 60), 1e-9);
        var solver = new CureSolver();
        var inert = Slab.Of(new(0.01, 8, new(1100, 1850, 0.2)), 293.15);
        solver.Run(inert, new(course, 4, 9), 0, 1440 * 60);
        Assert.InRange(solver.StepsAccepted, 10, 400);
    }

    [Fact]
    public void Run_OfASolverThatIsWarm_AllocatesNothingPerStep()
    {
        var reference = ReferenceCase.Named("C3");
        var solver = new CureSolver();
        solver.Run(reference.Slab(), reference.Surroundings, 0, reference.EndSeconds);
        var (slab, before) = (reference.Slab(), GC.GetAllocatedBytesForCurrentThread());
        solver.Run(slab, reference.Surroundings, 0, reference.EndSeconds);
        Assert.InRange(GC.GetAllocatedBytesForCurrentThread() - before, 0, 500); // the step that is shown, once; some 340 steps
    }

    [Fact]
    public void Steps_OfARunaway_StayFarBelowTheBound()
    {
        var reference = ReferenceCase.Named("C3");
        var solver = new CureSolver();
        solver.Run(reference.Slab(), reference.Surroundings, 0, reference.EndSeconds);
        Assert.InRange(solver.StepsAccepted + solver.StepsRefused, 100, CureSolver.MostAttempts / 50);
    }

    // 1e300 J/kg cannot be integrated in doubles: the run ends with an exception that says where, and does not hang.
    [Fact]
    public void Run_OfAnImpossibleHeat_EndsWithAnException()
    {
        var slab = Slab.Of(new(0.04, 40, new(1100, 1850, 0.2, 1e300, Isothermal)), 293.15);
        var around = new Surroundings(AmbientCourse.Constant(293.15), 4, 9);
        var thrown = Assert.Throws<CureUnsolvedException>(() => new CureSolver().Run(slab, around, 0, 3600));
        Assert.InRange(thrown.AtSeconds, 0, 3600);
    }

    [Fact]
    public void Solver_UsedAgainForAnotherSlab_GivesWhatANewOneGives()
    {
        var solver = new CureSolver();
        double Peak(CureSolver with, string name)
        {
            var reference = ReferenceCase.Named(name);
            var watch = new ReferenceWatch(reference.Rows);
            with.Run(reference.Slab(), reference.Surroundings, 0, reference.EndSeconds, watch);
            return watch.Events["peak_T_C"];
        }

        Peak(solver, "C3");
        Assert.Equal(Peak(new CureSolver(), "C5"), Peak(solver, "C5"));
        Assert.Equal(Peak(new CureSolver(), "C1"), Peak(solver, "C1"));
    }

    private static Dictionary<string, double> Events(string name, double tolerance, double cellMm = 1)
    {
        var reference = ReferenceCase.Named(name);
        var watch = new ReferenceWatch(reference.Rows);
        new CureSolver(tolerance).Run(reference.Slab(cellMm), reference.Surroundings, 0, reference.EndSeconds, watch);
        return new(watch.Events);
    }

    // α = (1 − e)/(1 + (k2/k1) e), e = exp(−(k1 + k2) t), for m = n = 1.
    private static double Autocatalytic(double k1, double k2, double seconds) =>
        (1 - Math.Exp(-(k1 + k2) * seconds)) / (1 + k2 / k1 * Math.Exp(-(k1 + k2) * seconds));

    private static double ConversionAfter(double seconds, double tolerance)
    {
        var slab = Slab.Of(new(0.01, 4, new(1100, 1850, 0.2, 0, Isothermal)), KamalSourour.ReferenceKelvin);
        new CureSolver(tolerance).Run(slab, new(AmbientCourse.Constant(KamalSourour.ReferenceKelvin), 9, 9), 0, seconds);
        return slab.Conversion(2);
    }

    private sealed class Ends(List<double> seconds) : IStepWatch
    {
        public void Saw(SolvedStep solved) => seconds.Add(solved.ToSeconds);
    }
}
