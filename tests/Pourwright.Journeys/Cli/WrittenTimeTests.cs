using Pourwright.Cli.Kernel;

namespace Pourwright.Journeys.Cli;

public class WrittenTimeTests
{
    private static readonly TimeZoneInfo Lisbon = TimeZoneInfo.FindSystemTimeZoneById("Europe/Lisbon");

    /// <summary>Sunday 3 May 2026, 15:00 in Lisbon (UTC+1 in summer).</summary>
    private static readonly DateTimeOffset Now = new(2026, 5, 3, 14, 0, 0, TimeSpan.Zero);

    [Theory]
    // 14:30 summer time is 13:30 UTC.
    [InlineData("14:30", "2026-05-03T13:30:00Z")]
    [InlineData("9:05", "2026-05-03T08:05:00Z")]
    [InlineData("today 14:30", "2026-05-03T13:30:00Z")]
    [InlineData("yesterday 23:30", "2026-05-02T22:30:00Z")]
    [InlineData("Tomorrow 09:00", "2026-05-04T08:00:00Z")]
    [InlineData("2026-05-01", "2026-04-30T23:00:00Z")]
    [InlineData("2026-05-01 14:30", "2026-05-01T13:30:00Z")]
    [InlineData("2026-05-01T14:30:15", "2026-05-01T13:30:15Z")]
    // Winter: UTC itself.
    [InlineData("2026-01-10 14:30", "2026-01-10T14:30:00Z")]
    [InlineData("2026-05-01T14:30Z", "2026-05-01T14:30:00Z")]
    [InlineData("2026-05-01T14:30:00.250Z", "2026-05-01T14:30:00.250Z")]
    [InlineData("2026-05-01T14:30:00+05:00", "2026-05-01T09:30:00Z")]
    [InlineData("20min ago", "2026-05-03T13:40:00Z")]
    [InlineData("1h30min ago", "2026-05-03T12:30:00Z")]
    [InlineData("in 2d", "2026-05-05T14:00:00Z")]
    public void Time_AsPeopleWriteIt_IsAnInstant(string text, string instant) => Assert.Equal(
        DateTimeOffset.Parse(instant, null), WrittenTime.Parse(text, Lisbon, Now, WhenSense.Happened));

    [Fact]
    public void Now_IsLeftToTheServer() => Assert.Null(WrittenTime.Parse("now", Lisbon, Now, WhenSense.Happened));

    [Theory]
    [InlineData("16:00", WhenSense.Happened, "yesterday 16:00")]
    [InlineData("14:00", WhenSense.Planned, "tomorrow 14:00")]
    public void ClockTime_OnTheWrongSideOfNow_IsAskedAgain(string text, WhenSense sense, string wayOut) => Assert.Contains(
        wayOut, Assert.Throws<FormatException>(() => WrittenTime.Parse(text, Lisbon, Now, sense)).Message, StringComparison.Ordinal);

    [Fact]
    public void ClockTime_AFewMinutesAhead_IsAClockThatRunsFast() => Assert.Equal(
        Now.AddMinutes(4), WrittenTime.Parse("15:04", Lisbon, Now, WhenSense.Happened));

    [Fact]
    public void LocalTime_InTheHourThatSpringLeavesOut_IsRefused() => Assert.Contains(
        "does not exist in Europe/Lisbon",
        Assert.Throws<FormatException>(() => WrittenTime.Parse("2026-03-29 01:30", Lisbon, Now, WhenSense.Happened)).Message, StringComparison.Ordinal);

    [Fact]
    public void LocalTime_InTheHourThatAutumnRepeats_NeedsItsOffset()
    {
        Assert.Contains("comes twice", Assert.Throws<FormatException>(
            () => WrittenTime.Parse("2025-10-26 01:30", Lisbon, Now, WhenSense.Happened)).Message, StringComparison.Ordinal);
        // The first pass is summer time, an hour before the second.
        Assert.Equal(new DateTimeOffset(2025, 10, 26, 0, 30, 0, TimeSpan.Zero), WrittenTime.Parse("2025-10-26T01:30+01:00", Lisbon, Now, WhenSense.Happened));
        Assert.Equal(new DateTimeOffset(2025, 10, 26, 1, 30, 0, TimeSpan.Zero), WrittenTime.Parse("2025-10-26T01:30+00:00", Lisbon, Now, WhenSense.Happened));
    }

    // The last Sunday of October: Berlin puts its clocks from 03:00 back to 02:00, Lisbon from 02:00 to 01:00.
    [Theory]
    [InlineData("Europe/Berlin", "2026-10-25 02:30", "2026-10-25T02:30:00+02:00 or 2026-10-25T02:30:00+01:00")]
    [InlineData("Europe/Lisbon", "2026-10-25 01:30:20", "2026-10-25T01:30:20+01:00 or 2026-10-25T01:30:20+00:00")]
    public void LocalTime_InTheHourThatAutumnRepeats_IsShownWithBothOfItsOffsets(string zone, string text, string ways)
    {
        var there = TimeZoneInfo.FindSystemTimeZoneById(zone);
        var fault = Assert.Throws<FormatException>(() => WrittenTime.Parse(text, there, Now, WhenSense.Planned));

        Assert.EndsWith($": write it with its offset, {ways}.", fault.Message, StringComparison.Ordinal);
        DateTimeOffset?[] passes = [.. ways.Split(" or ").Select(way => WrittenTime.Parse(way, there, Now, WhenSense.Planned))];
        Assert.Equal(TimeSpan.FromHours(1), passes[1] - passes[0]);
    }

    [Theory]
    [InlineData("soon")]
    [InlineData("25:00")]
    [InlineData("2026-13-01")]
    [InlineData("")]
    public void Nonsense_IsRefusedWithExamples(string text) => Assert.Contains(
        "write now, 14:30", Assert.Throws<FormatException>(() => WrittenTime.Parse(text, Lisbon, Now, WhenSense.Happened)).Message, StringComparison.Ordinal);

    // 800,000 days are 2,190 years; the first minute of the year 1 in Berlin is one of the year before in UTC.
    [Theory]
    [InlineData("800000d ago")]
    [InlineData("in 3652500d")]
    [InlineData("999999999999d ago")]
    [InlineData("0001-01-01")]
    public void Time_BeyondTheCalendar_IsRefused(string text)
    {
        var berlin = TimeZoneInfo.FindSystemTimeZoneById("Europe/Berlin");

        Assert.Contains("is out of reach", Assert.Throws<FormatException>(() => WrittenTime.Parse(text, berlin, Now, WhenSense.Happened)).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void LastDayOfTheCalendar_AsAnEnd_HasNoDayAfterIt() => Assert.Equal("9999-12-31", WrittenSpan.End("9999-12-31", null));

    [Fact]
    public void LocalTime_WhereSitesDisagree_NeedsItsOffset()
    {
        Assert.Contains("several time zones", Assert.Throws<FormatException>(
            () => WrittenTime.Parse("14:30", null, Now, WhenSense.Happened)).Message, StringComparison.Ordinal);
        Assert.Equal(Now, WrittenTime.Parse("2026-05-03T14:00Z", null, Now, WhenSense.Happened));
    }
}
