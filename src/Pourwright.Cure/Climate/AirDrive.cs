namespace Pourwright.Cure.Climate;

/// <summary>What a room's air follows, in °C over h: straight lines between points, level before the first and after the last.</summary>
/// <remarks>Times do not fall; two points at one time are a jump.</remarks>
public sealed class AirDrive
{
    private readonly double[] hours;
    private readonly double[] celsius;

    /// <param name="points">At least one, times not falling.</param>
    /// <exception cref="ArgumentException">No point, or one before the point ahead of it.</exception>
    public AirDrive(IReadOnlyList<(double AtHours, double Celsius)> points)
    {
        (hours, celsius) = ([.. points.Select(p => p.AtHours)], [.. points.Select(p => p.Celsius)]);
        if (hours.Length == 0 || hours.Zip(hours.Skip(1)).Any(pair => !(pair.Second >= pair.First)))
            throw new ArgumentException("A drive has at least one point, and no point lies before the one ahead of it.", nameof(points));
    }

    /// <summary>A thermostat: each set point holds until the next.</summary>
    public static AirDrive Held(IReadOnlyList<(double AtHours, double Celsius)> setPoints) => new(
    [
        .. setPoints.Take(1),
        .. setPoints.Zip(setPoints.Skip(1)).SelectMany(pair => new[] { (pair.Second.AtHours, pair.First.Celsius), pair.Second }),
    ]);

    /// <summary>At a time, in °C; at a jump, where it leads.</summary>
    public double Celsius(double atHours) => LineFrom(atHours).Celsius;

    /// <summary>The straight lines from one time to a later one, in order: value and slope at the beginning, and length.</summary>
    internal IEnumerable<DriveLine> Lines(double fromHours, double toHours)
    {
        while (fromHours < toHours)
        {
            var line = LineFrom(fromHours);
            yield return line with { LengthHours = Math.Min(line.LengthHours, toHours - fromHours) };
            fromHours += Math.Min(line.LengthHours, toHours - fromHours);
        }
    }

    private DriveLine LineFrom(double atHours)
    {
        var next = Array.FindIndex(hours, hour => hour > atHours);
        if (next == 0)
            return new(celsius[0], 0, hours[0] - atHours);
        if (next < 0)
            return new(celsius[^1], 0, double.PositiveInfinity);
        var slope = (celsius[next] - celsius[next - 1]) / (hours[next] - hours[next - 1]);
        return new(celsius[next - 1] + slope * (atHours - hours[next - 1]), slope, hours[next] - atHours);
    }
}

/// <summary>A straight piece of a drive: °C at its beginning, K/h, and h.</summary>
internal readonly record struct DriveLine(double Celsius, double KelvinPerHour, double LengthHours);
