using System.Globalization;

namespace Pourwright.Studio.Forecasts;

/// <summary>Quantities as people read them.</summary>
internal static class Spoken
{
    private const long HourMs = 3_600_000;

    public static string Span(long ms) => ms < HourMs ? $"{Whole(ms / 60_000.0)} min" : $"{ms / HourMs} h {Whole(ms % HourMs / 60_000)} min";

    public static string Degrees(double celsius) => string.Create(CultureInfo.InvariantCulture, $"{celsius:0.0} °C");

    public static string Kelvin(double kelvin) => string.Create(CultureInfo.InvariantCulture, $"{kelvin:0.0} K");

    public static string Whole(double value) => value.ToString("0", CultureInfo.InvariantCulture);
}
