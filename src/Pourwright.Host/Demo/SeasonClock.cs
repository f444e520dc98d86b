using System.Globalization;

namespace Pourwright.Host.Demo;

/// <summary>Days and hours of the season by the clock of its sites.</summary>
public static class SeasonClock
{
    public static TimeZoneInfo Zone { get; } = TimeZoneInfo.FindSystemTimeZoneById("Europe/Dublin");

    public static DateTimeOffset At(DateOnly day, double hour)
    {
        var local = day.ToDateTime(TimeOnly.MinValue).AddHours(hour);
        return new(local, Zone.GetUtcOffset(local));
    }

    public static string Says(DateOnly day) => day.ToString("dddd d MMMM", CultureInfo.InvariantCulture);
}
