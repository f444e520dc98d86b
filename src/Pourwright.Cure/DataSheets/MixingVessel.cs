using Pourwright.Cure.Heat;

namespace Pourwright.Cure.DataSheets;

/// <summary>What a batch stands in while its pot life runs.</summary>
public enum Vessel
{
    /// <summary>A cup filled as high as it is wide.</summary>
    Cup,

    /// <summary>A tray in which the mix stands a tenth as high as it is wide.</summary>
    Tray,
}

/// <summary>A batch in its vessel, at one temperature throughout.</summary>
/// <remarks>
/// ρ c dT/dt = ρ H r(α, T) − h (A/V)(T − T_room), for a cylinder of the batch's volume that loses heat through its whole surface:
/// A/V = (4 + 2/s)/D with height over width s and D = (4V/(π s))^(1/3). h = 8 W/(m² K), free convection and radiation through a
/// thin wall (common practice, no source), times the fitted heat loss; s = 1 and 1/10 are our choices. A litre of resin is
/// hotter in its middle than at its wall (Biot number about 0.7), so this is a mean, as the conversion of 0.20 is.
/// </remarks>
internal static class MixingVessel
{
    /// <summary>Conversion at which a mix has thickened too far to be poured (our choice, no source).</summary>
    public const double ThickConversion = 0.20;

    private const double LossWPerM2K = 8;
    private const double LongestHours = 4096;

    /// <summary>Time to conversion 0.20, in h; at most 4096.</summary>
    public static double HoursToThicken(Candidate candidate, long massMg, Vessel vessel, double kelvin)
    {
        var resin = candidate.Resin;
        var sink = LossWPerM2K * candidate.HeatLossFactor * SurfacePerVolume(massMg * 1e-6 / resin.DensityKgPerM3, vessel);
        // Faces that let nothing through and a loss from the whole volume: the slab stays even, whatever its depth.
        var slab = Slab.Of(new(0.01, Slab.LeastCells, resin.Material), kelvin);
        var around = new Surroundings(AmbientCourse.Constant(kelvin), 0, 0, sink);
        var (solver, watch) = (new CureSolver(), new ConversionWatch(ThickConversion));
        for (var (from, until) = (0.0, 1.0); from < LongestHours && watch.Hours is null; (from, until) = (until, 2 * until))
            solver.Run(slab, around, from * 3600, until * 3600, watch);
        return watch.Hours ?? LongestHours;
    }

    /// <summary>Surface over volume of a batch, in 1/m.</summary>
    internal static double SurfacePerVolume(double cubicMetres, Vessel vessel)
    {
        var heightOverWidth = vessel == Vessel.Tray ? 0.1 : 1;
        return (4 + 2 / heightOverWidth) / Math.Cbrt(4 * cubicMetres / (Math.PI * heightOverWidth));
    }

    private sealed class ConversionWatch(double conversion) : IStepWatch
    {
        public double? Hours { get; private set; }

        public void Saw(SolvedStep solved)
        {
            if (Hours is null && solved.Conversion(0, 1) >= conversion)
                Hours = (solved.FromSeconds + Crossing(solved) * solved.LengthSeconds) / 3600;
        }

        private double Crossing(SolvedStep solved)
        {
            var (before, after) = (0.0, 1.0);
            while (after - before > 1e-9)
            {
                var half = (before + after) / 2;
                if (solved.Conversion(0, half) < conversion)
                    before = half;
                else
                    after = half;
            }
            return after;
        }
    }
}
