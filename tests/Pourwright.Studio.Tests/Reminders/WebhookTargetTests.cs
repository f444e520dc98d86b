using System.Net;
using System.Net.Sockets;
using Pourwright.Studio.Reminders;
using Pourwright.Studio.Reminders.Channels;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Reminders;

/// <summary>Targets that somebody may write into a contact to reach what lies behind the node. Kinds after OWASP's prevention of request forgery; the addresses by RFC 6890, from memory.</summary>
public sealed class WebhookTargetTests : IDisposable
{
    private const string Listed = "hooks.alder.example";

    private static readonly DateTimeOffset Sent = ReadyReminder.Sent;

    private static readonly ReminderRecord Ready = ReadyReminder.Record;

    /// <summary>What names come to, as whoever owns them says.</summary>
    private static readonly Dictionary<string, string[]> Names = new()
    {
        ["localhost"] = ["127.0.0.1", "::1"],
        ["localhost."] = ["127.0.0.1", "::1"],
        ["db.localhost"] = ["127.0.0.1"],
        ["node.internal"] = ["10.0.0.5"],
        ["127.0.0.1.names.example"] = ["127.0.0.1"],
        ["metadata.names.example"] = ["169.254.169.254"],
        ["six.names.example"] = ["::1", "fd00:ec2::254"],
        ["mapped.names.example"] = ["::ffff:10.0.0.5"],
        ["many.names.example"] = ["10.0.0.5", "192.168.1.1", "fe80::1", "0.0.0.0"],
        ["nothing.names.example"] = [],
    };

    private readonly TcpListener _behind = new(IPAddress.IPv6Any, 0);

    public WebhookTargetTests()
    {
        _behind.Server.DualMode = true;
        _behind.Start();
    }

    public void Dispose() => _behind.Dispose();

    /// <summary>Whoever runs the node has listed the very host; its address alone is against it.</summary>
    [Theory]
    [InlineData("127.0.0.1")]
    [InlineData("127.1")]
    [InlineData("127.0.1")]
    [InlineData("127.255.255.254")]
    [InlineData("2130706433")] // 127.0.0.1 as one number
    [InlineData("0x7f000001")]
    [InlineData("0x7f.0.0.1")]
    [InlineData("0177.0.0.1")]
    [InlineData("017700000001")]
    [InlineData("0177.0.0.0x1")]
    [InlineData("127。0。0。1")] // full stops of another script
    [InlineData("0.0.0.0")]
    [InlineData("0")]
    [InlineData("10.0.0.5")]
    [InlineData("172.16.0.1")]
    [InlineData("192.168.1.1")]
    [InlineData("169.254.169.254")] // where clouds keep their credentials
    [InlineData("2852039166")] // the same as one number
    [InlineData("0xa9fea9fe")]
    [InlineData("100.64.0.1")]
    [InlineData("198.18.0.1")]
    [InlineData("192.0.2.1")]
    [InlineData("224.0.0.1")]
    [InlineData("240.0.0.1")]
    [InlineData("255.255.255.255")]
    [InlineData("[::1]")]
    [InlineData("[::]")]
    [InlineData("[::ffff:127.0.0.1]")]
    [InlineData("[::ffff:a9fe:a9fe]")]
    [InlineData("[::127.0.0.1]")]
    [InlineData("[fe80::1]")]
    [InlineData("[fc00::1]")]
    [InlineData("[fd00:ec2::254]")]
    [InlineData("[ff02::1]")]
    [InlineData("[64:ff9b::7f00:1]")] // 127.0.0.1 through NAT64
    [InlineData("[64:ff9b:1::a9fe:a9fe]")]
    [InlineData("[2002:7f00:1::]")] // 127.0.0.1 through 6to4
    [InlineData("[2001::7f00:1]")] // inside the range of Teredo
    [InlineData("[2001:db8::1]")]
    [InlineData("[100::1]")]
    [InlineData("localhost")]
    [InlineData("LOCALHOST")]
    [InlineData("localhost.")]
    [InlineData("db.localhost")]
    [InlineData("node.internal")]
    [InlineData("127.0.0.1.names.example")]
    [InlineData("metadata.names.example")]
    [InlineData("six.names.example")]
    [InlineData("mapped.names.example")]
    [InlineData("many.names.example")]
    [InlineData("nothing.names.example")]
    public async Task ListedHostThatIsNotPublic_IsNotReached(string host)
    {
        var uri = new Uri($"https://{host}:{Port}/hook");
        using var channel = Channel([uri.Authority, $"{uri.IdnHost}:{Port}"], networks: []);

        var refusal = await Assert.ThrowsAsync<HttpRequestException>(() => channel.SendAsync(Ready, uri.OriginalString, Sent, default));

        Assert.Contains("has no public address", refusal.GetBaseException().Message, StringComparison.Ordinal);
        Assert.False(_behind.Pending());
    }

    /// <summary>One host is listed, and the target looks like it or calls it by other means; nobody is even asked for its address.</summary>
    [Theory]
    [InlineData("https://{listed}@127.0.0.1:{port}/")]
    [InlineData("https://{listed}%40127.0.0.1:{port}/")]
    [InlineData("https://127.0.0.1:{port}\\@{listed}/")]
    [InlineData("https://127.0.0.1:{port}/@{listed}")]
    [InlineData("https://127.0.0.1:{port}/?{listed}")]
    [InlineData("https://127.0.0.1:{port}#{listed}")]
    [InlineData("https://{listed}.127.0.0.1.names.example:{port}/")]
    [InlineData("https://{listed}:{port}/")] // another port is another door
    [InlineData("https://{listed}:22/")]
    [InlineData("https://{listed}:0/")]
    [InlineData("https://{listed}./")]
    [InlineData("https://ivo:secret@{listed}/")]
    [InlineData("http://{listed}/")]
    [InlineData("http://{listed}:443/")]
    [InlineData("ftp://{listed}/")]
    [InlineData("ws://{listed}/")]
    [InlineData("gopher://{listed}/")]
    [InlineData("ldap://{listed}/")]
    [InlineData("file://{listed}/etc/hostname")]
    [InlineData("file:///etc/hostname")]
    [InlineData("data:text/plain,{listed}")]
    public async Task TargetThatIsNotTheListedHost_IsRefused(string pattern)
    {
        var target = pattern.Replace("{listed}", Listed, StringComparison.Ordinal).Replace("{port}", $"{Port}", StringComparison.Ordinal);
        using var channel = new WebhookChannel(Options([Listed], []), (host, _) => throw new InvalidOperationException($"{host} was asked for."));

        Assert.True(!Uri.TryCreate(target, UriKind.Absolute, out _) || (await channel.SendAsync(Ready, target, Sent, default)).End == DeliveryEnd.Refused);
        Assert.False(_behind.Pending());
    }

    /// <summary>The other half: the same listener is reached by a name and by its address, where host and network are listed.</summary>
    [Theory]
    [InlineData("127.0.0.1")]
    [InlineData("127.0.0.1.names.example")]
    public async Task ListedHostOfAListedNetwork_IsReached(string host)
    {
        using var channel = Channel([$"{host}:{Port}"], networks: ["127.0.0.0/8"]);
        using var cancel = new CancellationTokenSource();

        var sending = channel.SendAsync(Ready, $"https://{host}:{Port}/hook", Sent, cancel.Token);
        using var reached = await _behind.AcceptTcpClientAsync();

        Assert.True(reached.Connected);
        await cancel.CancelAsync();
        await Assert.ThrowsAnyAsync<OperationCanceledException>(() => sending);
    }

    private int Port => ((IPEndPoint)_behind.LocalEndpoint).Port;

    private static WebhookChannel Channel(IReadOnlyList<string> hosts, IReadOnlyList<string> networks) => new(Options(hosts, networks), ResolveAsync);

    private static ReminderOptions Options(IReadOnlyList<string> hosts, IReadOnlyList<string> networks) => new()
    {
        Webhooks = new() { Hosts = hosts, PrivateNetworks = networks, Secrets = ["whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw"] },
    };

    private static Task<IPAddress[]> ResolveAsync(string host, CancellationToken ct) => Task.FromResult(
        IPAddress.TryParse(host, out var address) ? [address] : Names[host].Select(IPAddress.Parse).ToArray());
}
