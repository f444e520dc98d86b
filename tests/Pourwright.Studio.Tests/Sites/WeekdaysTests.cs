using Pourwright.Studio.Sites;
using DayOfWeek = Google.Type.DayOfWeek;

namespace Pourwright.Studio.Tests.Sites;

public sealed class WeekdaysTests
{
    // Monday is bit 1, Sunday bit 64; the calendar of the runtime counts Sunday as 0.
    [Theory]
    [InlineData(1, DayOfWeek.Monday, System.DayOfWeek.Monday)]
    [InlineData(2, DayOfWeek.Tuesday, System.DayOfWeek.Tuesday)]
    [InlineData(4, DayOfWeek.Wednesday, System.DayOfWeek.Wednesday)]
    [InlineData(8, DayOfWeek.Thursday, System.DayOfWeek.Thursday)]
    [InlineData(16, DayOfWeek.Friday, System.DayOfWeek.Friday)]
    [InlineData(32, DayOfWeek.Saturday, System.DayOfWeek.Saturday)]
    [InlineData(64, DayOfWeek.Sunday, System.DayOfWeek.Sunday)]
    public void Day_InAllThreeForms_IsTheSame(int bits, DayOfWeek listed, System.DayOfWeek planned)
    {
        Assert.Equal(bits, Weekdays.BitsOrAll([listed]));
        Assert.Equal([listed], Weekdays.List(bits));
        Assert.Equal([planned], Weekdays.Set(bits));
    }

    [Fact]
    public void NoDay_IsEveryDay() => Assert.Equal(Weekdays.All, Weekdays.BitsOrAll([]));

    [Fact]
    public void Days_NamedTwiceAndOutOfOrder_AreASet() => Assert.Equal(
        [DayOfWeek.Monday, DayOfWeek.Sunday], Weekdays.List(Weekdays.BitsOrAll([DayOfWeek.Sunday, DayOfWeek.Monday, DayOfWeek.Sunday])));
}
