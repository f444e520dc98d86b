using Pourwright.Studio.Sites;

namespace Pourwright.Studio.Reminders;

/// <summary>The hours of the local day in which no reminder goes out but those of safety: start included, end excluded.</summary>
/// <remarks>
/// Asked of an instant, never computed ahead: every instant has one local time, while a local time may fall into the hour that a
/// clock change skips, or come twice. What is due in quiet hours waits in its row and goes out by the first sweep after their end:
/// on the day of 23 hours they are an hour shorter, on the day of 25 an hour longer. Where the end falls into the skipped hour they
/// end with the jump; where it comes twice they begin again with the second pass.
/// </remarks>
public sealed record QuietHours(TimeZoneInfo Zone, int StartMinute, int EndMinute)
{
    public static QuietHours Of(SiteRecord site) => new(site.Zone, site.QuietStartMinute, site.QuietEndMinute);

    /// <summary>Are reminders held back at this instant? Never where start and end are equal.</summary>
    public bool Hold(DateTimeOffset instant)
    {
        var minute = (int)TimeZoneInfo.ConvertTime(instant, Zone).TimeOfDay.TotalMinutes;
        return StartMinute <= EndMinute
            ? minute >= StartMinute && minute < EndMinute
            : minute >= StartMinute || minute < EndMinute;
    }
}
