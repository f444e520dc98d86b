using Google.Protobuf.WellKnownTypes;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Tests.Storage;

public sealed class InstantsTests
{
    [Theory]
    [InlineData(0, 0)]
    [InlineData(1_234, 567_000_000)]
    [InlineData(-1, 999_000_000)]
    [InlineData(253_402_300_799, 999_000_000)]
    public void ToTimestamp_OfItsMilliseconds_IsTheSame(long seconds, int nanos)
    {
        var instant = new Timestamp { Seconds = seconds, Nanos = nanos };
        Assert.Equal(seconds * 1000 + nanos / 1_000_000, instant.ToUnixMs());
        Assert.Equal(instant, Instants.ToTimestamp(instant.ToUnixMs()));
    }

    [Fact]
    public void ToUnixMs_BeforeTheEpoch_IsCutTowardsThePast() =>
        // -0.5 ms lies in the millisecond that begins at -1.
        Assert.Equal(-1, DateTimeOffset.UnixEpoch.AddTicks(-5_000).ToUnixMs());

    [Fact]
    public void Optional_Unset_StaysUnset()
    {
        Assert.Null(Instants.ToTimestamp(null));
        Assert.Null(((Timestamp?)null).ToUnixMsOrNull());
    }
}
