using NodaTime;
using NodaTime.TimeZones;
using Pourwright.Studio.Calendars;

namespace Pourwright.Studio.Tests.Calendars;

/// <summary>Sessions of an invented class.</summary>
internal static class SampleSessions
{
    public const string Name = "studios/alder/classes/tray-1/sessions/pour";

    /// <summary>Four hours from a local time on; where clocks show that time twice, from the first.</summary>
    public static CalendarSession At(string zone, string localTime, string name = Name)
    {
        var local = LocalDateTime.FromDateTime(DateTime.Parse(localTime, System.Globalization.CultureInfo.InvariantCulture));
        var start = local.InZone(DateTimeZoneProviders.Tzdb[zone], Resolvers.LenientResolver).ToInstant();
        return new()
        {
            Name = name,
            ClassTitle = "Serving trays",
            SiteTitle = "North Hall",
            PlaceTitle = "Shelf",
            InstructorTitle = "Ivo",
            TimeZone = zone,
            LocalDate = $"{local:yyyy-MM-dd}",
            LocalStartMinute = local.Hour * 60 + local.Minute,
            StartMs = start.ToUnixTimeMilliseconds(),
            EndMs = start.ToUnixTimeMilliseconds() + 4 * 3_600_000,
            Sequence = 0,
            ChangeMs = 1_767_225_600_000,
        };
    }

    public static string Feed(params CalendarSession[] sessions) => CalendarFeed.Write("Alder", "Alder, North Hall", sessions);
}
