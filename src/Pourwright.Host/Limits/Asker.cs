using System.Net;
using System.Net.Sockets;
using Pourwright.Studio.Access;

namespace Pourwright.Host.Limits;

/// <summary>Whom a request is counted for: the holder of its key, else where it comes from.</summary>
/// <param name="Name">The same for all that is counted together.</param>
/// <param name="HasKey">Whether its key is good.</param>
internal sealed record Asker(string Name, bool HasKey)
{
    /// <summary>Bytes of an IPv6 address that name its network: whoever has one address there has them all.</summary>
    private const int NetworkBytes = 8;

    public static Asker Of(HttpContext context) => Caller.Of(context) is { } caller
        ? new($"key {caller.Key}", true)
        : new($"address {NetworkOf(context.Connection.RemoteIpAddress)}", false);

    private static string NetworkOf(IPAddress? address)
    {
        if (address is null) return "";
        var plain = address.IsIPv4MappedToIPv6 ? address.MapToIPv4() : address;
        return plain.AddressFamily == AddressFamily.InterNetwork ? $"{plain}" : Convert.ToHexStringLower(plain.GetAddressBytes().AsSpan(0, NetworkBytes));
    }
}
