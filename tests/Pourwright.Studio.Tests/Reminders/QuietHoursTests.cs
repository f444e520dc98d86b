using System.Globalization;
using Pourwright.Studio.Reminders;

namespace Pourwright.Studio.Tests.Reminders;

/// <summary>Lisbon is on UTC in winter and an hour ahead in summer. In 2026 it jumps at 01:00 UTC on 29 March (01:00 becomes 02:00: a day
/// of 23 hours) and at 01:00 UTC on 25 October (02:00 becomes 01:00: a day of 25 hours).</summary>
public sealed class QuietHoursTests
{
    private static readonly TimeZoneInfo Lisbon = TimeZoneInfo.FindSystemTimeZoneById("Europe/Lisbon");

    [Theory]
    // 21:00 to 07:00, a winter's day: local time is UTC.
    [InlineData(21, 0, 7, 0, "2026-02-06T20:59:59Z", false)]
    [InlineData(21, 0, 7, 0, "2026-02-06T21:00:00Z", true)]
    [InlineData(21, 0, 7, 0, "2026-02-07T06:59:59Z", true)]
    [InlineData(21, 0, 7, 0, "2026-02-07T07:00:00Z", false)]
    // A day in summer: 21:00 local is 20:00 UTC, 07:00 local is 06:00 UTC.
    [InlineData(21, 0, 7, 0, "2026-07-01T20:00:00Z", true)]
    [InlineData(21, 0, 7, 0, "2026-07-02T06:00:00Z", false)]
    // The night of the day of 23 hours: begins at 21:00 UTC, ends at 07:00 local = 06:00 UTC, an hour sooner than the night before.
    [InlineData(21, 0, 7, 0, "2026-03-28T21:00:00Z", true)]
    [InlineData(21, 0, 7, 0, "2026-03-29T05:59:59Z", true)]
    [InlineData(21, 0, 7, 0, "2026-03-29T06:00:00Z", false)]
    // The night of the day of 25 hours: begins at 21:00 local = 20:00 UTC, ends at 07:00 UTC.
    [InlineData(21, 0, 7, 0, "2026-10-24T20:00:00Z", true)]
    [InlineData(21, 0, 7, 0, "2026-10-25T06:00:00Z", true)]
    [InlineData(21, 0, 7, 0, "2026-10-25T07:00:00Z", false)]
    // An end inside the skipped hour: 01:30 never comes on 29 March, the jump at 01:00 UTC ends them.
    [InlineData(22, 0, 1, 30, "2026-03-29T00:59:59Z", true)]
    [InlineData(22, 0, 1, 30, "2026-03-29T01:00:00Z", false)]
    // An end inside the hour that comes twice: over at 01:30 of the first pass (00:30 UTC), again from 01:00 to 01:30 of the second.
    [InlineData(22, 0, 1, 30, "2026-10-25T00:29:59Z", true)]
    [InlineData(22, 0, 1, 30, "2026-10-25T00:30:00Z", false)]
    [InlineData(22, 0, 1, 30, "2026-10-25T01:00:00Z", true)]
    [InlineData(22, 0, 1, 30, "2026-10-25T01:30:00Z", false)]
    // Within one day, as for a studio that sleeps at noon; and none at all.
    [InlineData(12, 0, 14, 0, "2026-02-06T13:59:00Z", true)]
    [InlineData(12, 0, 14, 0, "2026-02-06T14:00:00Z", false)]
    [InlineData(12, 0, 14, 0, "2026-02-06T03:00:00Z", false)]
    [InlineData(7, 0, 7, 0, "2026-02-06T07:00:00Z", false)]
    public void QuietHours_AtAnInstant_HoldByTheLocalClock(
        int startHour, int startMinute, int endHour, int endMinute, string instant, bool held)
    {
        var quiet = new QuietHours(Lisbon, startHour * 60 + startMinute, endHour * 60 + endMinute);

        Assert.Equal(held, quiet.Hold(DateTimeOffset.Parse(instant, CultureInfo.InvariantCulture)));
    }

    /// <summary>A night from 21:00 to 07:00 lasts 600 minutes, less by what the clock jumps ahead in it.</summary>
    [Theory]
    [InlineData("Europe/Lisbon")]
    [InlineData("Europe/Berlin")]
    [InlineData("America/New_York")]
    [InlineData("Australia/Lord_Howe")] // half an hour
    [InlineData("Pacific/Auckland")]
    public void QuietHours_OnEveryClockChangeFrom2020To2035_AreShorterByTheJump(string zoneId)
    {
        var zone = TimeZoneInfo.FindSystemTimeZoneById(zoneId);
        var quiet = new QuietHours(zone, 21 * 60, 7 * 60);
        var changes = 0;
        for (var noon = new DateTime(2020, 1, 1, 12, 0, 0); noon.Year < 2036; noon = noon.AddDays(1))
        {
            var from = new DateTimeOffset(noon, zone.GetUtcOffset(noon));
            var to = new DateTimeOffset(noon.AddDays(1), zone.GetUtcOffset(noon.AddDays(1)));
            var jump = to.Offset - from.Offset;
            if (jump == TimeSpan.Zero) continue;
            changes++;
            var held = Enumerable.Range(0, (int)(to - from).TotalMinutes).Count(minute => quiet.Hold(from.AddMinutes(minute)));
            Assert.Equal(600 - (int)jump.TotalMinutes, held);
        }
        Assert.Equal(32, changes);
    }
}
