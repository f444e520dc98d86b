using System.Net;
using System.Net.Sockets;

namespace Pourwright.Studio.Audit;

/// <summary>The address of a client as it may be kept for good.</summary>
/// <remarks>
/// Whole inside the house: loopback, private and link-local addresses (RFC 1918, RFC 3927, RFC 4193, RFC 4291) say which device it was.
/// Of an address of the internet, which may lead to a person, only the network is kept: 24 bits of IPv4, 48 of IPv6. Common practice, no source.
/// </remarks>
public static class ClientAddress
{
    private const int KeptBytesOfV4 = 3, KeptBytesOfV6 = 6;

    /// <summary>Empty where it is not known, as for a client in the same process.</summary>
    public static string Kept(IPAddress? address) => address switch
    {
        null => "",
        { IsIPv4MappedToIPv6: true } => Kept(address.MapToIPv4()),
        _ when IsInside(address) => address.ToString(),
        { AddressFamily: AddressFamily.InterNetwork } => Network(address, KeptBytesOfV4),
        _ => Network(address, KeptBytesOfV6),
    };

    private static bool IsInside(IPAddress address) =>
        IPAddress.IsLoopback(address) || address.IsIPv6LinkLocal || address.IsIPv6UniqueLocal
        || address.GetAddressBytes() is [10, _, _, _] or [172, >= 16 and <= 31, _, _] or [192, 168, _, _] or [169, 254, _, _];

    private static string Network(IPAddress address, int keptBytes)
    {
        var bytes = address.GetAddressBytes();
        bytes.AsSpan(keptBytes).Clear();
        return $"{new IPAddress(bytes)}/{8 * keptBytes}";
    }
}
