using Grpc.Core;
using Grpc.Health.V1;
using Grpc.Net.Client;
using Pourwright.Testing;

namespace Pourwright.Journeys.Limits;

/// <summary>What the server holds of connections: what passes at each limit, and what is closed beyond it.</summary>
/// <remarks>Its timers are the machine's own, so these tests wait for some seconds of real time.</remarks>
public sealed class ConnectionLimitTests : IAsyncLifetime
{
    private StudioHarness _node = null!;

    public Task InitializeAsync() => Task.CompletedTask;

    public Task DisposeAsync() => _node.DisposeAsync().AsTask();

    [Fact]
    public async Task Connections_PastTheirNumber_AreClosed_AndTheOthersAreServed()
    {
        await StartAsync("--Limits:Connections=4");
        List<RawConnection> open = [];
        for (var i = 0; i < 4; i++) open.Add(await RawConnection.OpenAsync(_node.HttpAddress.Port));
        using var fifth = await RawConnection.OpenAsync(_node.HttpAddress.Port);

        Assert.Equal("", await fifth.HearAllAsync());

        foreach (var connection in open) await connection.SayAsync("GET /healthz/live HTTP/1.1\r\nHost: node\r\n\r\n");
        foreach (var connection in open) Assert.StartsWith("HTTP/1.1 200", await connection.HearAsync(), StringComparison.Ordinal);
        open.ForEach(connection => connection.Dispose());
    }

    /// <summary>16 KiB of headers together pass.</summary>
    [Theory]
    [InlineData(15_000, "HTTP/1.1 200")]
    [InlineData(16 * 1024 + 1, "HTTP/1.1 431")]
    public async Task Headers_OfSoManyBytes_AreReadUpToTheLimit(int bytes, string begins)
    {
        await StartAsync();
        using var connection = await RawConnection.OpenAsync(_node.HttpAddress.Port);

        await connection.SayAsync($"GET /healthz/live HTTP/1.1\r\nHost: node\r\nX-Long: {new string('x', bytes)}\r\n\r\n");

        Assert.StartsWith(begins, await connection.HearAsync(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task HeadersThatNeverEnd_EndTheConnection()
    {
        await StartAsync("--Limits:HeadersWithin=00:00:01");
        using var connection = await RawConnection.OpenAsync(_node.HttpAddress.Port);

        await connection.SayAsync("GET /healthz/live HTTP/1.1\r\nHost: node\r\nX-Slow: ");

        Assert.StartsWith("HTTP/1.1 408", await connection.HearAllAsync(), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public async Task ConnectionOnWhichNothingIsAsked_IsClosed(bool isHttp2)
    {
        await StartAsync("--Limits:IdleConnection=00:00:01");
        using var connection = await RawConnection.OpenAsync(isHttp2 ? GrpcPort : _node.HttpAddress.Port);

        Assert.DoesNotContain("200", await connection.HearAllAsync(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task BodyThatStops_EndsTheRequest()
    {
        await StartAsync("--Limits:BodyGrace=00:00:02");
        using var connection = await RawConnection.OpenAsync(_node.HttpAddress.Port);

        await connection.SayAsync(
            $"POST /v1/studios/alder/mixes HTTP/1.1\r\nHost: node\r\nAuthorization: Bearer {StudioHarness.KeyAt(_node.Channel.Target)}\r\nContent-Type: application/json\r\nContent-Length: 2000\r\n\r\n{{");

        Assert.DoesNotContain("200 OK", await connection.HearAllAsync(), StringComparison.Ordinal);
    }

    /// <summary>A third call on the connection waits until one of two ends.</summary>
    [Fact]
    public async Task StreamsOfOneConnection_WaitPastTheirNumber()
    {
        await StartAsync("--Limits:StreamsPerConnection=2");
        using var channel = GrpcChannel.ForAddress($"http://{_node.Channel.Target}", new()
        {
            HttpHandler = new SocketsHttpHandler { EnableMultipleHttp2Connections = false },
            DisposeHttpClient = true,
        });
        var health = new Health.HealthClient(channel);
        using var first = await WatchAsync(health);
        var second = await WatchAsync(health);

        var late = await Assert.ThrowsAsync<RpcException>(() => health.CheckAsync(new(), deadline: TimeProvider.System.GetUtcNow().UtcDateTime.AddSeconds(1)).ResponseAsync);
        second.Dispose();

        Assert.Equal(StatusCode.DeadlineExceeded, late.StatusCode);
        Assert.Equal(HealthCheckResponse.Types.ServingStatus.Serving, (await health.CheckAsync(new())).Status);
    }

    /// <summary>It begins HTTP/2 and then answers nothing, also not the node's ping.</summary>
    [Fact]
    public async Task Http2ClientThatDoesNotAnswer_IsTakenToBeGone()
    {
        await StartAsync("--Limits:PingAfter=00:00:01", "--Limits:PingWithin=00:00:01");
        using var connection = await RawConnection.OpenAsync(GrpcPort, RawConnection.Http2Beginning);

        Assert.NotEqual("", await connection.HearAllAsync());
    }

    private int GrpcPort => new Uri($"http://{_node.Channel.Target}").Port;

    private async Task StartAsync(params string[] settings) => _node = await StudioHarness.StartAsync(null, settings);

    private static async Task<AsyncServerStreamingCall<HealthCheckResponse>> WatchAsync(Health.HealthClient health)
    {
        var watch = health.Watch(new());
        await watch.ResponseStream.MoveNext();
        return watch;
    }
}
