using System.Globalization;

namespace Pourwright.Host.Demo;

/// <summary>Air of an invented room that follows its heater, or the outdoor air, with a lag of the first order.</summary>
/// <remarks>dT/dt = (target - T) / tau. Heated: 20.5 °C within the hour or two. Unheated: 2 K over the outdoor air, half a day late. Invented figures.</remarks>
public sealed class Room(double temperatureCelsius)
{
    private static readonly Lazy<IReadOnlyDictionary<string, double>> Outdoor = new(ReadOutdoor);

    public double TemperatureCelsius { get; private set; } = temperatureCelsius;

    /// <summary>0 to 100; damper when colder.</summary>
    public double RelativeHumidityPercent => Math.Clamp(58 + 1.5 * (20 - TemperatureCelsius), 40, 82);

    /// <summary>The set point; null leaves the heater off.</summary>
    public double? HeatedToCelsius { get; set; }

    public void Pass(TimeSpan time, DateTimeOffset local)
    {
        var (target, tauHours) = HeatedToCelsius is { } set ? (set, 1.5) : (OutdoorCelsius(local) + 2, 12.0);
        TemperatureCelsius = target + (TemperatureCelsius - target) * Math.Exp(-time.TotalHours / tauHours);
    }

    private static double OutdoorCelsius(DateTimeOffset local) =>
        Outdoor.Value[local.ToString("MM-dd'T'HH", CultureInfo.InvariantCulture)];

    private static Dictionary<string, double> ReadOutdoor()
    {
        using var stream = typeof(Room).Assembly.GetManifestResourceStream("Pourwright.Host.Demo.outdoor-temperature.csv")!;
        return new StreamReader(stream).ReadToEnd().Split('\n', StringSplitOptions.RemoveEmptyEntries)
            .Where(line => char.IsAsciiDigit(line[0]))
            .Select(line => line.Split(','))
            .ToDictionary(cells => cells[0], cells => double.Parse(cells[1], CultureInfo.InvariantCulture));
    }
}
