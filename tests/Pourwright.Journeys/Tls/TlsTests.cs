using System.Net.Security;
using System.Net.Sockets;
using System.Security.Authentication;
using System.Security.Cryptography.X509Certificates;
using System.Text;
using Grpc.Health.V1;
using Grpc.Net.Client;
using Pourwright.Testing;

namespace Pourwright.Journeys.Tls;

/// <summary>A node that serves TLS from files: whom it lets connect, whom clients take it for, and what a renewal changes.</summary>
public sealed class TlsTests : IAsyncLifetime
{
    private static readonly TestAuthority House = TestAuthority.Root();

    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("pourwright-tls-");

    private StudioHarness? _node;

    /// <summary>What a client shows, and what goes with it.</summary>
    private static readonly Dictionary<string, Func<(X509Certificate2? Shown, X509Certificate2[] Between)>> BadClients = new()
    {
        ["none"] = () => (null, []),
        ["one of no authority"] = () => (TestAuthority.SelfSigned("bench"), []),
        ["one of another authority"] = () => (TestAuthority.Root("Others").Issue("bench", TestAuthority.ClientUse), []),
        ["one of an authority of the same name"] = () => (TestAuthority.Root().Issue("bench", TestAuthority.ClientUse), []),
        ["one of such an authority, with it"] = () => OfStranger(TestAuthority.Root()),
        ["an expired one"] = () => (House.Issue("bench", TestAuthority.ClientUse, -9, -0.01), []),
        ["one that is not good yet"] = () => (House.Issue("bench", TestAuthority.ClientUse, 0.01, 9), []),
        ["one for servers"] = () => (House.Issue("bench", TestAuthority.ServerUse), []),
        ["one below a certificate that is no authority"] = () => Below(House.Below(isAuthority: false)),
        ["one below an authority that it does not show"] = () => (House.Below().Issue("bench", TestAuthority.ClientUse), []),
        ["one below an authority of others"] = () => Below(TestAuthority.Root("Others").Below()),
        ["that of another authority itself"] = () => (TestAuthority.Root("Others").Certificate, []),
    };

    public static TheoryData<string> BadClientNames() => new(BadClients.Keys);

    public Task InitializeAsync() => Task.CompletedTask;

    public async Task DisposeAsync()
    {
        if (_node is not null) await _node.DisposeAsync();
        _folder.Delete(recursive: true);
    }

    [Theory]
    [MemberData(nameof(BadClientNames))]
    public async Task ClientThatShows_IsNotLetConnect(string what)
    {
        await StartAsync(asksClients: true);
        var (shown, between) = BadClients[what]();

        using var http = Client(shown, between);

        await Assert.ThrowsAsync<HttpRequestException>(() => http.GetStringAsync("/healthz/live"));
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public async Task ClientOfTheAuthority_IsServed_AlsoByOneBetween(bool isBetween)
    {
        await StartAsync(asksClients: true);
        var (shown, between) = isBetween ? Below(House.Below()) : (House.Issue("bench", TestAuthority.ClientUse), []);

        using var http = Client(shown, between);

        Assert.Equal("Healthy", await http.GetStringAsync("/healthz"));
    }

    [Theory]
    [InlineData(SslProtocols.Tls12)]
    [InlineData(SslProtocols.Tls13)]
    public async Task BothPorts_AreServed_InBothVersions(SslProtocols version)
    {
        await StartAsync();
        using var http = Client(null, [], version);
        using var channel = GrpcChannel.ForAddress($"https://{_node!.Channel.Target}", new() { HttpHandler = Handler(null, [], version), DisposeHttpClient = true });

        Assert.Equal("Healthy", await http.GetStringAsync("/healthz"));
        Assert.Equal(HealthCheckResponse.Types.ServingStatus.Serving, (await new Health.HealthClient(channel).CheckAsync(new())).Status);
    }

    /// <summary>A client that trusts the house alone, and a node whose certificate is bad in some way.</summary>
    [Theory]
    [InlineData(true, -1, 20, TestAuthority.ServerUse, true)]
    [InlineData(false, -1, 20, TestAuthority.ServerUse, false)] // of another authority
    [InlineData(true, -9, -0.01, TestAuthority.ServerUse, false)] // expired
    [InlineData(true, -1, 20, TestAuthority.ClientUse, false)] // for clients
    public async Task NodeThatShows_IsTakenForWhatItIs(bool isHouse, double fromDays, double untilDays, string use, bool isTrusted)
    {
        var authority = isHouse ? House : TestAuthority.Root("Others");
        await StartAsync(certificate: authority.Issue("node", use, fromDays, untilDays));

        using var http = Client(null, []);

        Assert.Equal(isTrusted, await Record.ExceptionAsync(() => http.GetStringAsync("/healthz/live")) is null);
    }

    [Fact]
    public async Task RenewedCertificate_IsShownToNewConnections_AndOpenOnesLiveOn()
    {
        var (first, second, third) = (House.Issue("node", TestAuthority.ServerUse), House.Issue("node", TestAuthority.ServerUse), House.Issue("node", TestAuthority.ServerUse));
        await StartAsync(certificate: first);
        await using var old = await ConnectAsync();
        Assert.Equal(first.Thumbprint, Shown(old));

        Write(second);
        _node!.Clock.Advance(TimeSpan.FromSeconds(1));
        await using var renewed = await ConnectAsync();
        Assert.Equal(second.Thumbprint, Shown(renewed));

        // Halfway through the next renewal the key is not that of the certificate.
        await File.WriteAllTextAsync(CertificateFile, third.ExportCertificatePem());
        _node.Clock.Advance(TimeSpan.FromSeconds(1));
        await using var halfway = await ConnectAsync();
        Assert.Equal(second.Thumbprint, Shown(halfway));

        await File.WriteAllTextAsync(KeyFile, third.GetECDsaPrivateKey()!.ExportPkcs8PrivateKeyPem());
        _node.Clock.Advance(TimeSpan.FromSeconds(1));
        await using var last = await ConnectAsync();
        Assert.Equal(third.Thumbprint, Shown(last));
        Assert.StartsWith("HTTP/1.1 200", await AskAsync(old), StringComparison.Ordinal);
    }

    /// <summary>The sign-in page asks the node who the visitor is, over loopback.</summary>
    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public async Task Pages_ReachTheirNode(bool asksClients)
    {
        await StartAsync(asksClients, House.Issue("node", TestAuthority.AnyUse));
        using var http = Client(House.Issue("bench", TestAuthority.ClientUse), []);
        http.DefaultRequestHeaders.Authorization = new("Bearer", StudioHarness.KeyAt(_node!.Channel.Target));

        using var page = await http.GetAsync("/");

        Assert.True(page.IsSuccessStatusCode, $"{page.StatusCode}");
    }

    [Theory]
    [InlineData("", "no key at all")]
    [InlineData("nothing", "no certificate at all")]
    public async Task FilesThatHoldNothing_StopTheNodeAtItsStart(string certificate, string why)
    {
        Write(House.Issue("node", TestAuthority.ServerUse));
        await File.WriteAllTextAsync(certificate.Length == 0 ? KeyFile : CertificateFile, certificate);

        var refused = await Assert.ThrowsAsync<InvalidOperationException>(() => StudioHarness.StartAsync(null, Settings()));

        Assert.True(refused.Message.Contains("Both are PEM files", StringComparison.Ordinal), why);
    }

    private string CertificateFile => Path.Combine(_folder.FullName, "node.pem");

    private string KeyFile => Path.Combine(_folder.FullName, "node.key");

    private async Task StartAsync(bool asksClients = false, X509Certificate2? certificate = null)
    {
        Write(certificate ?? House.Issue("node", TestAuthority.ServerUse));
        var authority = Path.Combine(_folder.FullName, "clients.pem");
        await File.WriteAllTextAsync(authority, House.Certificate.ExportCertificatePem());
        _node = await StudioHarness.StartAsync(null, [.. Settings(), .. asksClients ? new[] { $"--Tls:ClientAuthority={authority}" } : []]);
    }

    private string[] Settings() => [$"--Tls:Certificate={CertificateFile}", $"--Tls:Key={KeyFile}"];

    private void Write(X509Certificate2 certificate)
    {
        File.WriteAllText(CertificateFile, certificate.ExportCertificatePem());
        File.WriteAllText(KeyFile, certificate.GetECDsaPrivateKey()!.ExportPkcs8PrivateKeyPem());
    }

    private HttpClient Client(X509Certificate2? shown, X509Certificate2[] between, SslProtocols version = SslProtocols.None) =>
        new(Handler(shown, between, version)) { BaseAddress = _node!.HttpAddress };

    private static SocketsHttpHandler Handler(X509Certificate2? shown, X509Certificate2[] between, SslProtocols version) => new()
    {
        SslOptions = new()
        {
            EnabledSslProtocols = version,
            CertificateChainPolicy = TrustInTheHouse(),
            ClientCertificateContext = shown is null ? null : SslStreamCertificateContext.Create(shown, [.. between], offline: true),
        },
    };

    private static X509ChainPolicy TrustInTheHouse()
    {
        var policy = new X509ChainPolicy { TrustMode = X509ChainTrustMode.CustomRootTrust, RevocationMode = X509RevocationMode.NoCheck };
        policy.CustomTrustStore.Add(House.Certificate);
        return policy;
    }

    private async Task<SslStream> ConnectAsync()
    {
        var socket = new TcpClient();
        await socket.ConnectAsync("127.0.0.1", _node!.HttpAddress.Port);
        var stream = new SslStream(socket.GetStream());
        await stream.AuthenticateAsClientAsync(new SslClientAuthenticationOptions { TargetHost = "127.0.0.1", CertificateChainPolicy = TrustInTheHouse() });
        return stream;
    }

    private static async Task<string> AskAsync(SslStream stream)
    {
        await stream.WriteAsync("GET /healthz/live HTTP/1.1\r\nHost: node\r\n\r\n"u8.ToArray());
        var buffer = new byte[4096];
        return Encoding.ASCII.GetString(buffer, 0, await stream.ReadAsync(buffer));
    }

    private static string Shown(SslStream stream) => ((X509Certificate2)stream.RemoteCertificate!).Thumbprint;

    private static (X509Certificate2?, X509Certificate2[]) Below(TestAuthority between) => (between.Issue("bench", TestAuthority.ClientUse), [between.Certificate]);

    private static (X509Certificate2?, X509Certificate2[]) OfStranger(TestAuthority stranger) => (stranger.Issue("bench", TestAuthority.ClientUse), [stranger.Certificate]);
}
