using System.Globalization;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Lots;

/// <summary>Masses and instants as people read them.</summary>
public static class Amounts
{
    /// <summary>Grams, exact to the milligram: 1234500 is "1234.5 g".</summary>
    public static string Grams(long massMg) => (massMg / 1000m).ToString("0.###", CultureInfo.InvariantCulture) + " g";

    /// <summary>A span to the minute: "3 h 20 min", "3 h", "20 min".</summary>
    public static string Span(long ms)
    {
        var minutes = (ms + 30_000) / 60_000;
        return minutes < 60 ? $"{minutes} min" : minutes % 60 == 0 ? $"{minutes / 60} h" : $"{minutes / 60} h {minutes % 60} min";
    }

    /// <summary>Local time with its offset: "2026-03-01 00:00 +01:00".</summary>
    public static string LocalTime(long ms, TimeZoneInfo zone) =>
        TimeZoneInfo.ConvertTime(Instants.FromUnixMs(ms), zone).ToString("yyyy-MM-dd HH:mm zzz", CultureInfo.InvariantCulture);
}
