using System.Globalization;
using Pourwright.Studio.Lots;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Lots;

public sealed class ContainerExpiryTests
{
    // Offsets and clock changes: IANA time zone database.
    [Theory]
    [InlineData("2026-03-01", "Europe/Berlin", "2026-02-28T23:00:00Z")] // winter, UTC+1
    [InlineData("2026-07-01", "Europe/Berlin", "2026-06-30T22:00:00Z")] // summer, UTC+2
    [InlineData("2026-03-29", "Europe/Berlin", "2026-03-28T23:00:00Z")] // the day of 23 hours begins in winter time
    [InlineData("2018-11-04", "America/Sao_Paulo", "2018-11-04T03:00:00Z")] // no midnight: 00:00 at UTC-3 is 01:00 at UTC-2
    [InlineData("2026-11-01", "America/Havana", "2026-11-01T04:00:00Z")] // two midnights: the first, at UTC-4
    public void StartOfDay_InTheSitesZone_IsTheFirstInstantOfThatDay(string day, string zone, string expected) => Assert.Equal(
        DateTimeOffset.Parse(expected, CultureInfo.InvariantCulture),
        DateTimeOffset.FromUnixTimeMilliseconds(ContainerExpiry.StartOfDayMs(
            DateOnly.Parse(day, CultureInfo.InvariantCulture), TimeZoneInfo.FindSystemTimeZoneById(zone))));

    [Fact]
    public void ExpireMs_OfSeveralLots_IsTheFirstOfDatesAndOpenedShelfLife()
    {
        LotRecord[] lots = [LotRows.Lot("late", Part.A, "2027-01-01"), LotRows.Lot("none", Part.A), LotRows.Lot("early", Part.A, "2026-06-01")];
        var firstOfJune = DateTimeOffset.Parse("2026-06-01T00:00:00Z", CultureInfo.InvariantCulture).ToUnixTimeMilliseconds();

        Assert.Equal(firstOfJune, ContainerExpiry.ExpireMs(lots, TimeZoneInfo.Utc, null, null));
        Assert.Equal(firstOfJune, ContainerExpiry.ExpireMs(lots, TimeZoneInfo.Utc, firstOfJune - 10, 10));
        Assert.Equal(firstOfJune - 1, ContainerExpiry.ExpireMs(lots, TimeZoneInfo.Utc, firstOfJune - 10, 9));
        Assert.Null(ContainerExpiry.ExpireMs([LotRows.Lot("none", Part.A)], TimeZoneInfo.Utc, 5, null));
    }
}
