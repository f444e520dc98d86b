namespace Pourwright.Cure.Heat;

/// <summary>Air temperature over time, in K: straight lines between points, level before the first and after the last.</summary>
public sealed class AmbientCourse
{
    private readonly double[] seconds;
    private readonly double[] kelvin;

    /// <param name="points">At least one, times strictly rising; seconds from the first pour, K.</param>
    /// <param name="withinKelvin">Points are left out as long as the lines stay this close to each of them, in K.</param>
    public AmbientCourse(IEnumerable<(double Seconds, double Kelvin)> points, double withinKelvin = 1e-9)
    {
        var bends = Bends([.. points], withinKelvin);
        seconds = [.. bends.Select(p => p.Seconds)];
        kelvin = [.. bends.Select(p => p.Kelvin)];
    }

    /// <summary>A room that never changes.</summary>
    public static AmbientCourse Constant(double kelvin) => new([(0, kelvin)]);

    /// <summary>Temperature at a time, in K.</summary>
    public double Kelvin(double atSeconds) => LineFrom(atSeconds).Kelvin(atSeconds);

    /// <summary>The straight line that holds from a time on, and the time at which it ends.</summary>
    internal AmbientLine LineFrom(double atSeconds)
    {
        var next = Array.BinarySearch(seconds, atSeconds);
        next = next >= 0 ? next + 1 : ~next;
        if (next == 0)
            return new(0, kelvin[0], 0, seconds[0]);
        if (next == seconds.Length)
            return new(0, kelvin[^1], 0, double.PositiveInfinity);
        var slope = (kelvin[next] - kelvin[next - 1]) / (seconds[next] - seconds[next - 1]);
        return new(seconds[next - 1], kelvin[next - 1], slope, seconds[next]);
    }

    // A logger that writes 21 °C every ten minutes is one line, not a thousand places at which the solver has to stop.
    // From each bend the line goes on to the last point that it can reach while passing every one between within the limit.
    private static List<(double Seconds, double Kelvin)> Bends((double Seconds, double Kelvin)[] points, double withinKelvin)
    {
        List<(double Seconds, double Kelvin)> bends = [points[0]];
        var (least, most) = (double.NegativeInfinity, double.PositiveInfinity);
        for (var i = 1; i < points.Length; i++)
        {
            if (Slope(bends[^1], points[i]) is var slope && (slope < least || slope > most))
            {
                bends.Add(points[i - 1]);
                (least, most) = (double.NegativeInfinity, double.PositiveInfinity);
            }
            var away = points[i].Seconds - bends[^1].Seconds;
            least = Math.Max(least, Slope(bends[^1], points[i]) - withinKelvin / away);
            most = Math.Min(most, Slope(bends[^1], points[i]) + withinKelvin / away);
        }
        return [.. bends, .. points.Skip(1).TakeLast(1)];
    }

    private static double Slope((double Seconds, double Kelvin) from, (double Seconds, double Kelvin) to) =>
        (to.Kelvin - from.Kelvin) / (to.Seconds - from.Seconds);
}

internal readonly record struct AmbientLine(double FromSeconds, double FromKelvin, double KelvinPerSecond, double ToSeconds)
{
    public double Kelvin(double atSeconds) => FromKelvin + KelvinPerSecond * (atSeconds - FromSeconds);
}

/// <summary>What takes the heat away.</summary>
/// <param name="Ambient">Air temperature, the same below, above and beside.</param>
/// <param name="BaseWPerM2K">Heat-transfer coefficient under the slab, in W/(m² K); 0 = insulated.</param>
/// <param name="TopWPerM2K">Heat-transfer coefficient on top, in W/(m² K); 0 = insulated.</param>
/// <param name="SideWPerM3K">Loss through the sides of the resin, per volume of resin, in W/(m³ K).</param>
public sealed record Surroundings(AmbientCourse Ambient, double BaseWPerM2K, double TopWPerM2K, double SideWPerM3K = 0);
