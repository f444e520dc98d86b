using System.Net;
using Pourwright.Studio.Audit;

namespace Pourwright.Studio.Tests.Audit;

public sealed class ClientAddressTests
{
    /// <summary>203.0.113.0/24 and 2001:db8::/32 are for examples (RFC 5737, RFC 3849): they stand for the internet here.</summary>
    [Theory]
    [InlineData("127.0.0.1", "127.0.0.1")]
    [InlineData("::1", "::1")]
    [InlineData("192.168.1.23", "192.168.1.23")]
    [InlineData("10.4.5.6", "10.4.5.6")]
    [InlineData("172.31.0.9", "172.31.0.9")]
    [InlineData("172.32.0.9", "172.32.0.0/24")]
    [InlineData("::ffff:192.168.1.23", "192.168.1.23")]
    [InlineData("fd00:1:2:3::4", "fd00:1:2:3::4")]
    [InlineData("203.0.113.77", "203.0.113.0/24")]
    [InlineData("::ffff:203.0.113.77", "203.0.113.0/24")]
    [InlineData("2001:db8:1:2:3:4:5:6", "2001:db8:1::/48")]
    public void Address_InsideTheHouseWhole_OfTheInternetItsNetwork(string address, string kept) =>
        Assert.Equal(kept, ClientAddress.Kept(IPAddress.Parse(address)));

    [Fact]
    public void Address_Unknown_Empty() => Assert.Equal("", ClientAddress.Kept(null));
}
