namespace Pourwright.Studio.Calendars;

/// <summary>The secret in a link.</summary>
internal static class CalendarKey
{
    /// <summary>Where its feed is, below the address of the JSON port.</summary>
    public static string PathOf(string key) => $"/calendars/{key}.ics";
}
