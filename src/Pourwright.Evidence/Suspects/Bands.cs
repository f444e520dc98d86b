using System.Globalization;

namespace Pourwright.Evidence.Suspects;

/// <summary>Numbers in bands that stand before anyone looks at defects: an edge put where the data look best would always accuse.</summary>
/// <remarks>
/// Edges are common practice, no source: 3 K above the dew point and 70 % for skins that stay greasy, 12 % for wood that gives
/// bubbles, 2 and 5 % for ratios. A value on an edge belongs to the band above it.
/// </remarks>
public static class Bands
{
    private static readonly Dictionary<Factor, (string Unit, double[] Edges)> Preset = new()
    {
        [Factor.Temperature] = (" °C", [16, 18, 22, 26]),
        [Factor.Humidity] = (" %", [40, 55, 70]),
        [Factor.DewPointMargin] = (" K", [3, 5]),
        [Factor.RatioDeviation] = (" %", [-5, -2, 2, 5]),
        [Factor.Depth] = (" mm", [10, 25, 50]),
        [Factor.WoodMoisture] = (" %", [8, 10, 12]),
        [Factor.HoursToDemold] = (" h", [18, 24, 48, 72]),
        [Factor.ConversionAtDemold] = ("", [0.8, 0.9, 0.95]),
    };

    public static IEnumerable<Factor> Measured => Preset.Keys;

    /// <summary>The band as a text that people read: "55 to 70 %".</summary>
    /// <exception cref="ArgumentOutOfRangeException">A factor that is not measured, or a value that is not a finite number.</exception>
    public static string Level(Factor factor, double value)
    {
        if (!Preset.TryGetValue(factor, out var preset))
            throw new ArgumentOutOfRangeException(nameof(factor), factor, "Not a measured factor; give its levels as texts.");
        if (!double.IsFinite(value))
            throw new ArgumentOutOfRangeException(nameof(value), value, $"{factor} is a finite number; leave it out where there is no record.");
        var (unit, edges) = preset;
        var band = edges.Count(edge => value >= edge);
        return band == 0 ? $"under {Text(edges[0])}{unit}"
            : band == edges.Length ? $"{Text(edges[^1])}{unit} or more"
            : $"{Text(edges[band - 1])} to {Text(edges[band])}{unit}";
    }

    private static string Text(double edge) => edge.ToString("0.##", CultureInfo.InvariantCulture);
}
