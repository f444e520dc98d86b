using Ical.Net.DataTypes;
using NodaTime;
using NodaTime.Text;

namespace Pourwright.Studio.Calendars;

/// <summary>Start and end of a session as a calendar writes them.</summary>
/// <remarks>
/// Local time with the zone's name, so that a later change of a country's clocks moves the instant and not the class. Only where
/// clocks show the time of start or end twice, both are written in UTC: RFC 5545 3.3.5 says that such a time is the first, and not
/// every client reads it so.
/// </remarks>
internal sealed record SessionTimes(Instant Start, Instant End, DateTimeZone? Zone)
{
    public static SessionTimes Of(CalendarSession session)
    {
        var zone = DateTimeZoneProviders.Tzdb.GetZoneOrNull(session.TimeZone);
        var start = zone is null ? Recorded(session) : StartIn(zone, session);
        var end = start + NodaTime.Duration.FromMilliseconds(session.EndMs - session.StartMs);
        return new(start, end, zone is not null && zone.Id != "UTC" && IsShownOnce(zone, start) && IsShownOnce(zone, end) ? zone : null);
    }

    public CalDateTime CalendarStart => Write(Start);

    public CalDateTime CalendarEnd => Write(End);

    /// <summary>What people were told is the local time; the recorded instant tells apart what clocks show twice, or not at all.</summary>
    private static Instant StartIn(DateTimeZone zone, CalendarSession session)
    {
        var local = LocalDatePattern.Iso.Parse(session.LocalDate).Value.AtMidnight().PlusMinutes(session.LocalStartMinute);
        var map = zone.MapLocal(local);
        return map.Count == 1 ? map.Single().ToInstant() : Recorded(session);
    }

    private static Instant Recorded(CalendarSession session) => Instant.FromUnixTimeMilliseconds(session.StartMs);

    private static bool IsShownOnce(DateTimeZone zone, Instant instant) => zone.MapLocal(instant.InZone(zone).LocalDateTime).Count == 1;

    private CalDateTime Write(Instant instant)
    {
        var local = instant.InZone(Zone ?? DateTimeZone.Utc).LocalDateTime;
        return new(local.Year, local.Month, local.Day, local.Hour, local.Minute, local.Second, Zone?.Id ?? "UTC");
    }
}
