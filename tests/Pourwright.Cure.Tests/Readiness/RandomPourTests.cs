using CsCheck;
using Pourwright.Cure.Heat;
using Pourwright.Cure.Kinetics;
using Pourwright.Cure.Ladder;
using Pourwright.Cure.Readiness;

namespace Pourwright.Cure.Tests.Readiness;

/// <summary>Any pour a studio can make, and many that nobody should: an answer, in bounded steps, that makes sense.</summary>
/// <remarks>Two hundred forecasts a run, a thousand solves; the environment variable CsCheck_Iter sets more.</remarks>
public class RandomPourTests
{
    private static readonly long Pours =
        long.TryParse(Environment.GetEnvironmentVariable("CsCheck_Iter"), out var wanted) ? wanted : 200;

    private static readonly Gen<DiffusionControl> Diffusions = Gen.OneOf(
        Gen.Const<DiffusionControl>(new Rabinowitch(20, 0, 0.25)),
        Gen.Const<DiffusionControl>(new ChernPoehlein(30, -0.5965, 0.0050)),
        Gen.Const<DiffusionControl>(new NoDiffusionControl()));

    private static readonly Gen<ResinCureModel> Resins = Gen.Select(
        Gen.OneOf(Gen.Const(ResinCureModel.DeepCasting), Gen.Const(ResinCureModel.FastCoating)),
        Gen.Double[0.055, 18], Gen.Double[0.5, 2.0], Gen.Double[0.9, 3.0],
        Diffusions,
        (resin, rate, m, n, diffusion) => WithLaw(resin.WithRateScale(rate), m, n, diffusion));

    private static readonly Gen<PieceCase> AnyPiece = Gen.Select(
        Gen.Select(Gen.Double[0.5, 150], Gen.Double[5, 60], Resins, Gen.Double[0.1, 60]).Array[1, 3],
        Gen.Double[-10, 50].Array[1, 40],
        Gen.OneOf(Gen.Const(0.0), Gen.Double[3, 60]),
        Gen.OneOf(Gen.Const(0.0), Gen.Double[0, 200]),
        Gen.Double[200, 700],
        (pours, air, board, sink, horizon) => new PieceCase
        {
            Layers = [.. Timed(pours)],
            Ambient = [.. air.Select((celsius, i) => new AmbientPoint(i * 3.5 - 4, celsius))],
            BoardThicknessMm = board,
            SideSinkWattsPerCubicMetreKelvin = sink,
            HorizonHours = horizon,
        });

    [Fact]
    public void Forecast_OfAnyPour_IsFiniteOrderedAndNeverUncures()
    {
        AnyPiece.Sample(piece =>
        {
            var forecast = LadderForecaster.Forecast(piece, new CureSpread { Draws = 8 });
            AssertOrdered(forecast.Gel);
            AssertOrdered(forecast.Demold);
            AssertOrdered(forecast.Handle);
            Assert.InRange(forecast.Peak.LikelyCelsius, forecast.Peak.LowCelsius, forecast.Peak.HighCelsius);
            Assert.InRange(forecast.Peak.HighCelsius, -10, 1000);
            Assert.InRange(forecast.Peak.LikelyAtHours, 0, piece.HorizonHours);
            Assert.InRange(forecast.Peak.RunawayMargin, 0, double.MaxValue);
            Assert.InRange(forecast.LeastConversionAtHorizon, 0, 1);
            Assert.All(forecast.LikelyCourse, AssertPhysical);
            AssertNeverUncures(piece, forecast.LikelyCourse);
        }, iter: Pours);
    }

    // Seeds 1 to 1000: the same castings every time. The benchmark `pours` takes ten thousand.
    [Fact]
    public void Solves_OverTheWholeRange_EndWithoutAFault()
    {
        var pours = ParallelEnumerable.Range(1, (int)(5 * Pours)).AsOrdered().Select(RandomPour.Solved).ToArray();
        RandomPour[] faulty = [.. pours.Where(pour => pour.Faults.Count > 0)];
        Assert.True(faulty.Length == 0, string.Join('\n', faulty.AsEnumerable()));
        Assert.Contains(pours, pour => pour.PeakCelsius > 150); // a runaway
    }

    // One layer in a steady room, every step counted, also the long ones that the balance of the random castings leaves out. From
    // 5 mm: under that, what a film that is done loses over days is read off the cubic of steps of a day, which is not that fine.
    [Fact]
    public void Heat_OfAnySlab_IsConservedInBoundedSteps()
    {
        var slabs = Gen.Select(Resins, Gen.Double[0.005, 0.15], Gen.Double[278, 333], Gen.Double[263, 323], Gen.Double[0, 50]);
        slabs.Sample((resin, depth, mix, room, face) =>
        {
            var slab = Slab.Of(new(depth, 32, resin.Material), mix);
            var around = new Surroundings(AmbientCourse.Constant(room), face, 9);
            var lost = new Lost(face, room);
            var (solver, before) = (new CureSolver(), Stored(slab));
            solver.Run(slab, around, 0, 200 * 3600, lost);
            var released = Enumerable.Range(0, slab.Nodes).Sum(n => slab.HeatPerConversion[n] * slab.Conversion(n));
            var turnover = released + Math.Abs(lost.JoulesPerM2);
            Assert.InRange(Math.Abs(released - (Stored(slab) - before) - lost.JoulesPerM2), 0, 1e-3 * turnover);
            Assert.InRange(solver.StepsAccepted + solver.StepsRefused, 1, 10_000);
        }, iter: Pours);
    }

    private static ResinCureModel WithLaw(ResinCureModel resin, double m, double n, DiffusionControl diffusion) => resin with
    {
        Reaction = resin.Reaction with { Chemistry = resin.Reaction.Chemistry with { M = m, N = n }, Diffusion = diffusion },
    };

    private static IEnumerable<PouredLayer> Timed(
        (double DepthMm, double Celsius, ResinCureModel Resin, double LaterHours)[] pours)
    {
        var at = 0.0;
        foreach (var (depthMm, celsius, resin, laterHours) in pours)
        {
            yield return new(at, depthMm, celsius, resin);
            at += laterHours;
        }
    }

    private static void AssertOrdered(GateTimes gate)
    {
        Assert.True((gate.EarliestHours ?? double.MaxValue) <= (gate.LikelyHours ?? double.MaxValue));
        Assert.True((gate.LikelyHours ?? double.MaxValue) <= (gate.SafeHours ?? double.MaxValue));
        Assert.True(gate.EarliestHours is null or >= 0);
    }

    private static void AssertPhysical(CureSample sample)
    {
        Assert.InRange(sample.LeastConversion, 0, sample.MostConversion);
        Assert.InRange(sample.MostConversion, 0, 1);
        foreach (var celsius in (double[])[sample.BaseCelsius, sample.MiddleCelsius, sample.TopCelsius])
            Assert.InRange(celsius, -10.01, 1000);
        Assert.True(double.IsFinite(sample.LeastTgMinusTKelvin));
    }

    // A new pour brings conversion 0 with it; between pours conversion only rises, to a rounding.
    private static void AssertNeverUncures(PieceCase piece, IReadOnlyList<CureSample> course)
    {
        foreach (var (earlier, later) in course.Zip(course.Skip(1)))
        {
            if (piece.Layers.Skip(1).Any(l => l.AtHours >= earlier.AtHours && l.AtHours <= later.AtHours))
                continue;
            Assert.InRange(later.LeastConversion, earlier.LeastConversion - 1e-12, 1);
            Assert.InRange(later.MostConversion, earlier.MostConversion - 1e-12, 1);
        }
    }

    private static double Stored(Slab slab) => Enumerable.Range(0, slab.Nodes).Sum(n => slab.Capacity[n] * slab.Kelvin(n));

    private sealed class Lost(double baseWPerM2K, double roomKelvin) : IStepWatch
    {
        public double JoulesPerM2 { get; private set; }

        public void Saw(SolvedStep solved) =>
            JoulesPerM2 += solved.LengthSeconds / 6 * (Watts(solved, 0) + 4 * Watts(solved, 0.5) + Watts(solved, 1));

        private double Watts(SolvedStep solved, double at) =>
            baseWPerM2K * (solved.Kelvin(0, at) - roomKelvin) + 9 * (solved.Kelvin(solved.Slab.Nodes - 1, at) - roomKelvin);
    }
}
