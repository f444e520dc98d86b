using System.Globalization;
using System.Text.Json.Nodes;
using NodaTime;

namespace Pourwright.Evidence.Epcis;

/// <summary>Times as EPCIS writes them, to the millisecond.</summary>
public static class EpcisTime
{
    public static string Utc(DateTimeOffset time) => time.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss.fff'Z'", CultureInfo.InvariantCulture);

    /// <summary>The site's own clock with its offset of that moment.</summary>
    public static string Local(DateTimeOffset time, string zone) =>
        time.ToOffset(OffsetOf(time, zone).ToTimeSpan()).ToString("yyyy-MM-dd'T'HH:mm:ss.fffzzz", CultureInfo.InvariantCulture);

    /// <exception cref="ArgumentException">No IANA zone of that name.</exception>
    private static Offset OffsetOf(DateTimeOffset time, string zone) =>
        (DateTimeZoneProviders.Tzdb.GetZoneOrNull(zone) ?? throw new ArgumentException($"\"{zone}\" is no time zone: give an IANA name, such as Europe/Vienna."))
            .GetUtcOffset(Instant.FromDateTimeOffset(time));

    /// <summary>Such as <c>+01:00</c>.</summary>
    public static string ZoneOffset(DateTimeOffset time, string zone) => OffsetOf(time, zone).ToString("m", CultureInfo.InvariantCulture);
}
