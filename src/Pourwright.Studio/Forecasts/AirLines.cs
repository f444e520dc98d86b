namespace Pourwright.Studio.Forecasts;

/// <summary>Air over time with as few bends as tell the same.</summary>
internal static class AirLines
{
    /// <summary>Less than a room logger errs, in K: common practice, no source.</summary>
    public const double ToleranceKelvin = 0.2;

    /// <summary>Leaves out the points to which the straight lines between the others come within <see cref="ToleranceKelvin"/>.</summary>
    /// <remarks>
    /// The engine stops at every bend, in every draw. With a quarter-hourly logger this halves its time, measured, and moves a demold
    /// time of three days by up to six minutes.
    /// After Ramer (1972) and Douglas and Peucker (1973), from memory, with the distance taken along the temperature: keep the point
    /// furthest off the line between the ends, and go on with both halves.
    /// </remarks>
    public static IEnumerable<(long Ms, double Celsius)> Straightened((long Ms, double Celsius)[] points)
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

    private static int? FurthestOff((long Ms, double Celsius)[] points, int first, int last)
    {
        var ((fromMs, from), (toMs, to)) = (points[first], points[last]);
        int? furthest = null;
        var most = ToleranceKelvin;
        for (var i = first + 1; i < last; i++)
        {
            var off = Math.Abs(points[i].Celsius - (from + (to - from) * (points[i].Ms - fromMs) / (toMs - fromMs)));
            if (off > most) (furthest, most) = (i, off);
        }
        return furthest;
    }
}
