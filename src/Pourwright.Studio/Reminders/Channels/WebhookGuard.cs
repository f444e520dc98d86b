using System.Net;
using System.Net.Sockets;

namespace Pourwright.Studio.Reminders.Channels;

/// <summary>Keeps webhooks from being a way into the network behind the node.</summary>
public sealed class WebhookGuard(WebhookOptions options)
{
    /// <summary>Not public: IANA's special-purpose addresses (RFC 6890), multicast and the reserved rest. From memory.</summary>
    private static readonly IReadOnlyList<IPNetwork> NotPublicV4 = Networks(
        "0.0.0.0/8", "10.0.0.0/8", "100.64.0.0/10", "127.0.0.0/8", "169.254.0.0/16", "172.16.0.0/12", "192.0.0.0/24", "192.0.2.0/24",
        "192.88.99.0/24", "192.168.0.0/16", "198.18.0.0/15", "198.51.100.0/24", "203.0.113.0/24", "224.0.0.0/3");

    /// <summary>Not public inside 2000::/3: special purposes, documentation, and 6to4, which carries an IPv4 address. From memory.</summary>
    private static readonly IReadOnlyList<IPNetwork> NotPublicV6 = Networks("2001::/23", "2001:db8::/32", "2002::/16", "3fff::/20");

    /// <summary>The only part of IPv6 given out as public.</summary>
    private static readonly IPNetwork PublicV6 = IPNetwork.Parse("2000::/3");

    private readonly IReadOnlyList<IPNetwork> _privateNetworks = Networks([.. options.PrivateNetworks]);

    /// <summary>Why nothing is posted there; null where it may be.</summary>
    public string? Refusal(Uri uri)
    {
        if (uri.UserInfo.Length > 0) return "The address carries a user name; leave it out.";
        if (!IsListed(uri))
            return $"{uri.Host} is not on this node's list; add it to Reminders:Webhooks:Hosts, with its port where that is unusual.";
        return uri.Scheme == Uri.UriSchemeHttps || (uri.Scheme == Uri.UriSchemeHttp && uri.IsLoopback)
            ? null
            : $"{uri.Scheme} is not safe enough for {uri.Host}; use https.";
    }

    /// <summary>May a connection go to this address? Asked of the address in use, after the name was resolved.</summary>
    public bool MayConnect(IPAddress address)
    {
        var plain = address.IsIPv4MappedToIPv6 ? address.MapToIPv4() : address;
        return IsPublic(plain) || _privateNetworks.Any(network => network.Contains(plain));
    }

    private bool IsListed(Uri uri) => options.Hosts.Any(host =>
        host.Equals($"{uri.IdnHost}:{uri.Port}", StringComparison.OrdinalIgnoreCase)
        || host.Equals($"{uri.Host}:{uri.Port}", StringComparison.OrdinalIgnoreCase)
        || (uri.IsDefaultPort && host.Equals(uri.IdnHost, StringComparison.OrdinalIgnoreCase)));

    private static bool IsPublic(IPAddress address) => address.AddressFamily == AddressFamily.InterNetwork
        ? !NotPublicV4.Any(network => network.Contains(address))
        : PublicV6.Contains(address) && !NotPublicV6.Any(network => network.Contains(address));

    private static IReadOnlyList<IPNetwork> Networks(params IEnumerable<string> cidrs) =>
        [.. cidrs.Select(cidr => IPNetwork.Parse(cidr))];
}
