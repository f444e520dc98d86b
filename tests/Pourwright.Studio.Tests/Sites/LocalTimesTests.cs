using Pourwright.Studio.Refusals;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Sites;

public sealed class LocalTimesTests
{
    private const string Berlin = "Europe/Berlin", NewYork = "America/New_York";

    // 2007-11-04 01:30 comes twice in New York; RFC 5545 3.3.5 reads it as the first, EDT (UTC-4): 05:30Z. The second is EST (UTC-5).
    // The days of Berlin: directive 2000/84/EC, last Sundays of March and October at 01:00Z.
    [Theory]
    [InlineData(NewYork, "2007-11-04", 90, Fold.Earlier, "2007-11-04 05:30:00Z")]
    [InlineData(NewYork, "2007-11-04", 90, Fold.Later, "2007-11-04 06:30:00Z")]
    [InlineData(Berlin, "2026-10-25", 150, Fold.Earlier, "2026-10-25 00:30:00Z")]
    [InlineData(Berlin, "2026-10-25", 150, Fold.Later, "2026-10-25 01:30:00Z")]
    [InlineData(Berlin, "2026-07-01", 540, null, "2026-07-01 07:00:00Z")]
    [InlineData(Berlin, "2026-12-01", 540, null, "2026-12-01 08:00:00Z")]
    [InlineData(Berlin, "2026-12-01", 540, Fold.Later, "2026-12-01 08:00:00Z")]
    [InlineData("Asia/Kathmandu", "2026-12-01", 540, null, "2026-12-01 03:15:00Z")]
    public void LocalTime_OfAPlace_IsTheInstant(string zone, string date, int minute, Fold? fold, string utc) =>
        Assert.Equal(utc, Instants.Utc(LocalTimes.Resolve(zone, Date(date), minute, fold).UtcMs));

    // New York, 2007-03-11: RFC 5545 3.3.5 reads 02:30 by the offset before the gap, 03:30 EDT = 07:30Z; by the one after, 06:30Z.
    [Theory]
    [InlineData(NewYork, "2007-03-11", 150, "2007-03-11 06:30:00Z", "2007-03-11 07:30:00Z")]
    [InlineData(Berlin, "2027-03-28", 150, "2027-03-28 00:30:00Z", "2027-03-28 01:30:00Z")]
    public void LocalTime_ThatClocksSkip_IsRefusedWithBothReadings(string zone, string date, int minute, string earlier, string later)
    {
        var refusal = Assert.Throws<Refusal>(() => LocalTimes.Resolve(zone, Date(date), minute, Fold.Earlier));
        Assert.Equal((Reasons.LocalTimeMissing, earlier, later), (refusal.Reason, refusal.Facts["earlier_time"], refusal.Facts["later_time"]));
        Assert.Contains("put forward from 02:00 to 03:00", refusal.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(NewYork, "2007-11-04", 90, "2007-11-04 05:30:00Z", "2007-11-04 06:30:00Z")]
    [InlineData(Berlin, "2026-10-25", 150, "2026-10-25 00:30:00Z", "2026-10-25 01:30:00Z")]
    public void LocalTime_ThatComesTwice_IsAskedAboutWithBothInstants(string zone, string date, int minute, string earlier, string later)
    {
        foreach (Fold? fold in new Fold?[] { null, Fold.Unspecified })
        {
            var refusal = Assert.Throws<Refusal>(() => LocalTimes.Resolve(zone, Date(date), minute, fold));
            Assert.Equal((Reasons.LocalTimeTwice, earlier, later), (refusal.Reason, refusal.Facts["earlier_time"], refusal.Facts["later_time"]));
        }
    }

    // RFC 5545 3.3.5 for both: the gap is read by the offset before it, the first of two is meant.
    [Theory]
    [InlineData(NewYork, "2007-03-11", 150, "2007-03-11 07:30:00Z")]
    [InlineData(NewYork, "2007-11-04", 90, "2007-11-04 05:30:00Z")]
    [InlineData(Berlin, "2026-12-01", 540, "2026-12-01 08:00:00Z")]
    public void Nearest_WhereNobodyIsAsked_ReadsAsCalendarsDo(string zone, string date, int minute, string utc) =>
        Assert.Equal(utc, Instants.Utc(LocalTimes.Nearest(zone, Date(date), minute).UtcMs));

    // 17:00 to 09:00 is 16 h by the clock; an hour less over a night clocks are put forward, one more where they are put back.
    [Theory]
    [InlineData(Berlin, "2027-03-27", 15)]
    [InlineData(Berlin, "2026-10-24", 17)]
    [InlineData(NewYork, "2027-03-13", 15)]
    [InlineData(NewYork, "2026-10-31", 17)]
    [InlineData(Berlin, "2026-11-07", 16)]
    public void Elapsed_SaturdayFiveToSundayNine_CountsHoursThatPass(string zone, string saturday, int hours)
    {
        var pour = LocalTimes.Resolve(zone, Date(saturday), 17 * 60).UtcMs;
        var machine = LocalTimes.Resolve(zone, Date(saturday).AddDays(1), 9 * 60).UtcMs;
        Assert.Equal(hours * 3_600_000L, machine - pour);
    }

    [Theory]
    [InlineData("2026-10-25 00:30:00Z", "2026-10-25", 150)]
    [InlineData("2026-10-25 01:30:00Z", "2026-10-25", 150)]
    [InlineData("2026-12-31 23:10:59Z", "2027-01-01", 10)]
    public void Instant_OnTheClockOfBerlin_ShowsDateAndMinute(string utc, string date, int minute) => Assert.Equal(
        new LocalMinute(Date(date), minute),
        LocalTimes.At(Berlin, DateTimeOffset.Parse(utc, System.Globalization.CultureInfo.InvariantCulture).ToUnixMs()));

    [Fact]
    public void Instant_SaysWhichTimeZoneDataItWasDerivedBy() =>
        Assert.Matches("^20[0-9]{2}[a-z]$", LocalTimes.Resolve(Berlin, Date("2026-12-01"), 0).TzdbVersion);

    [Fact]
    public void Zone_Unknown_IsRefusedWithItsName() =>
        Assert.Contains("Europe/Nowhere", Assert.Throws<Refusal>(() => LocalTimes.Resolve("Europe/Nowhere", Date("2026-12-01"), 0)).Message, StringComparison.Ordinal);

    private static DateOnly Date(string text) => DateOnly.ParseExact(text, "yyyy-MM-dd", System.Globalization.CultureInfo.InvariantCulture);
}
