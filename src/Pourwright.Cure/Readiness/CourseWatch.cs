using Pourwright.Cure.Heat;

namespace Pourwright.Cure.Readiness;

/// <summary>Samples the likely run for a chart.</summary>
internal sealed class CourseWatch(double horizonHours) : IStepWatch
{
    private readonly List<CureSample> samples = [];
    private double nextHours;

    public IReadOnlyList<CureSample> Samples => samples;

    public double LeastConversion { get; private set; }

    public void Saw(SolvedStep solved)
    {
        LeastConversion = solved.Extremes(1).LeastConversion;
        while (nextHours * 3600 <= solved.ToSeconds && nextHours <= horizonHours)
        {
            var fraction = Math.Clamp((nextHours * 3600 - solved.FromSeconds) / solved.LengthSeconds, 0, 1);
            samples.Add(Sample(solved, fraction, nextHours));
            nextHours += Interval(nextHours);
        }
    }

    // Dense where a cure is quick: a runaway takes minutes, the last percent of conversion days.
    private static double Interval(double hours) => hours < 24 ? 0.25 : hours < 96 ? 1 : 4;

    private static CureSample Sample(SolvedStep solved, double fraction, double hours)
    {
        double Celsius(int node) => solved.Kelvin(node, fraction) - PieceRun.ZeroCelsius;
        var extremes = solved.Extremes(fraction);
        var first = solved.Slab.Layers.First(l => l.IsResin).First;
        var last = solved.Slab.Nodes - 1;
        return new(
            hours, Celsius(first), Celsius(Middle(solved.Slab, first, last)), Celsius(last),
            extremes.LeastConversion, extremes.MostConversion, extremes.LeastTgMinusTKelvin);
    }

    private static int Middle(Slab slab, int first, int last)
    {
        var middle = (slab.HeightMetres[first] + slab.HeightMetres[last]) / 2;
        return Enumerable.Range(first, last - first).First(node => slab.HeightMetres[node + 1] > middle);
    }
}
