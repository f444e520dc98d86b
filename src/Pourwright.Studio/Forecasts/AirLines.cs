namespace Pourwright.Studio.Forecasts;

/// <summary>Air at an instant, in Unix ms, °C, and K of standard deviation.</summary>
internal readonly record struct AirPoint(long Ms, double Celsius, double SdKelvin);

/// <summary>Air over time with as few bends as tell the same.</summary>
internal static class AirLines
{
    /// <summary>Less than a room logger errs, in K: common practice, no source.</summary>
    public const double ToleranceKelvin = 0.2;

    /// <summary>The same for a draw at two standard deviations.</summary>
    private const double SdToleranceKelvin = ToleranceKelvin / 2;

    /// <summary>Leaves out the points to which the straight lines between the others come within both tolerances.</summary>
    /// <remarks>
    /// The engine stops at every bend, in every draw. With a quarter-hourly logger this halves its time, measured, and moves a demold
    /// time of three days by up to six minutes.
    /// After Ramer (1972) and Douglas and Peucker (1973), from memory, with the distance taken along the temperature: keep the point
    /// furthest off the line between the ends, and go on with both halves.
    /// </remarks>
    public static IEnumerable<AirPoint> Straightened(AirPoint[] points)
    {
        var kept = new bool[points.Length];
        kept[0] = kept[^1] = true;
        var open = new Stack<(int First, int Last)>([(0, points.Length - 1)]);
        while (open.TryPop(out var part))
        {
            if (FurthestOff(points, part.First, part.Last) is not { } bend) continue;
            kept[bend] = true;
            open.Push((part.First, bend));
            open.Push((bend, part.Last));
        }
        return points.Where((_, i) => kept[i]);
    }

    private static int? FurthestOff(AirPoint[] points, int first, int last)
    {
        var (from, to) = (points[first], points[last]);
        int? furthest = null;
        var most = 1.0;
        for (var i = first + 1; i < last; i++)
        {
            var share = (double)(points[i].Ms - from.Ms) / (to.Ms - from.Ms);
            double Off(Func<AirPoint, double> value) => Math.Abs(value(points[i]) - (value(from) + share * (value(to) - value(from))));
            var off = Math.Max(Off(p => p.Celsius) / ToleranceKelvin, Off(p => p.SdKelvin) / SdToleranceKelvin);
            if (off > most) (furthest, most) = (i, off);
        }
        return furthest;
    }
}
