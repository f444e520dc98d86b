using Google.Protobuf.WellKnownTypes;
using Pourwright.Studio.Trace;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Trace;

/// <summary>Clock changes of the time zone database: Vienna on 29 Mar and 25 Oct 2026, Santiago (at midnight) on 6 Sep 2026.</summary>
public sealed class BenchDayTests
{
    [Theory]
    [InlineData("Europe/Vienna", "2026-03-07T22:59:00Z", "2026-03-07", 24)]
    [InlineData("Europe/Vienna", "2026-03-07T23:00:00Z", "2026-03-08", 24)]
    [InlineData("Europe/Vienna", "2026-03-29T12:00:00Z", "2026-03-29", 23)]
    [InlineData("Europe/Vienna", "2026-10-25T12:00:00Z", "2026-10-25", 25)]
    [InlineData("America/Santiago", "2026-09-05T12:00:00Z", "2026-09-05", 24)]
    [InlineData("America/Santiago", "2026-09-06T12:00:00Z", "2026-09-06", 23)]
    public void Day_OfAPour_IsLocalAndAsLongAsTheClocksMakeIt(string zone, string pour, string day, int hours)
    {
        var benchDay = BenchDay.Of(
            new Pour { Bench = "shelf", PourTime = Timestamp.FromDateTimeOffset(DateTimeOffset.Parse(pour, null)) }, TimeZoneInfo.FindSystemTimeZoneById(zone));

        Assert.Equal(DateOnly.Parse(day, null), benchDay.Day);
        Assert.Equal(hours, (benchDay.ToMs - benchDay.FromMs) / 3_600_000.0);
    }
}
