using Pourwright.Studio.Storage.Chain;

namespace Pourwright.Studio.Tests.Seals;

public sealed class SeriesRunsTests
{
    [Theory]
    [InlineData("5", 5L)]
    [InlineData("-3+8", -3L, 5L)]
    [InlineData("1000+10*3+5", 1000L, 1010L, 1020L, 1030L, 1035L)]
    [InlineData("1000+10+20*2", 1000L, 1010L, 1030L, 1050L)]
    public void Write_RisingNumbers_FewLettersThatReadBack(string text, params long[] rising)
    {
        Assert.Equal(text, SeriesRuns.Write(rising));
        Assert.Equal(rising, SeriesRuns.Read(text));
    }

    [Theory]
    [InlineData("")]
    [InlineData("5+0")]
    [InlineData("5+-1")]
    [InlineData("5+1*0")]
    [InlineData("5+1*2000000000")]
    [InlineData("5+x")]
    public void Read_NoSeries_Refused(string text) => Assert.Throws<FormatException>(() => SeriesRuns.Read(text));
}
