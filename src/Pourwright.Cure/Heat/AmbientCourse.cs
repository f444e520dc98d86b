namespace Pourwright.Cure.Heat;

/// <summary>Air temperature over time, in K: straight lines between points, level before the first and after the last.</summary>
public sealed class AmbientCourse
{
    private readonly double[] seconds;
    private readonly double[] kelvin;

    /// <param name="points">At least one, times strictly rising; seconds from the first pour, K.</param>
    public AmbientCourse(IEnumerable<(double Seconds, double Kelvin)> points)
    {
        var bends = WithoutPointsOnALine([.. points]);
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
    private static List<(double Seconds, double Kelvin)> WithoutPointsOnALine((double Seconds, double Kelvin)[] points)
    {
        List<(double Seconds, double Kelvin)> kept = [];
        foreach (var point in points)
        {
            if (kept.Count > 1 && OnALine(kept[^2], kept[^1], point))
                kept.RemoveAt(kept.Count - 1);
            kept.Add(point);
        }
        return kept;
    }

    private static bool OnALine((double Seconds, double Kelvin) a, (double Seconds, double Kelvin) b, (double Seconds, double Kelvin) c)
    {
        var expected = a.Kelvin + (c.Kelvin - a.Kelvin) * (b.Seconds - a.Seconds) / (c.Seconds - a.Seconds);
        return Math.Abs(b.Kelvin - expected) < 1e-9;
    }
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
