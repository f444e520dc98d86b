using System.Net;
using System.Net.Http.Headers;
using System.Text;
using System.Text.Json;
using Google.Rpc;
using Grpc.AspNetCore.Server;
using Grpc.Core;
using Grpc.Health.V1;
using Microsoft.Extensions.DependencyInjection;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Journeys.Limits;

/// <summary>What one caller is given: what passes at each limit, and what is refused one beyond it.</summary>
public sealed class CallLimitTests : IAsyncLifetime
{
    private const int MessageBytes = 256 * 1024;

    private static readonly RecordMixRequest Mix = new() { Parent = "studios/alder", Mix = new() { Mixer = "Ivo" } };

    private readonly Hang _hang = new();

    private StudioHarness _node = null!;

    public Task InitializeAsync() => Task.CompletedTask;

    public Task DisposeAsync() => _node.DisposeAsync().AsTask();

    /// <summary>At the limit a field is refused, so the message was read; beyond it nothing was.</summary>
    [Theory]
    [InlineData(MessageBytes, StatusCode.InvalidArgument, "FIELD_INVALID")]
    [InlineData(MessageBytes + 1, StatusCode.ResourceExhausted, "MESSAGE_TOO_LARGE")]
    public async Task Message_OfSoManyBytes_IsReadUpToTheLimit(int bytes, StatusCode code, string reason)
    {
        await StartAsync();
        var request = Mix.Clone();
        request.Mix.DeviationReason = new('x', bytes - 100);
        request.Mix.DeviationReason += new string('x', bytes - request.CalculateSize());
        Assert.Equal(bytes, request.CalculateSize());

        var refusal = await Assert.ThrowsAsync<RpcException>(() => new MixService.MixServiceClient(_node.Channel).RecordMixAsync(request).ResponseAsync);

        Assert.Equal((code, reason), (refusal.StatusCode, refusal.Reason()));
    }

    [Theory]
    [InlineData(MessageBytes, HttpStatusCode.BadRequest, "FIELD_INVALID")]
    [InlineData(MessageBytes + 1, HttpStatusCode.TooManyRequests, "MESSAGE_TOO_LARGE")]
    public async Task JsonBody_OfSoManyBytes_IsReadUpToTheLimit(int bytes, HttpStatusCode status, string reason)
    {
        await StartAsync();
        using var http = _node.OpenHttp();
        const string before = "{\"mixer\": \"", after = "\"}";

        using var answer = await http.PostAsync("/v1/studios/alder/mixes", Json(before + new string('x', bytes - before.Length - after.Length) + after));

        Assert.Equal((status, reason), (answer.StatusCode, await ReasonAsync(answer)));
    }

    [Fact]
    public async Task JsonBodyThatDoesNotSayHowLongItIs_IsReadUpToTheLimit()
    {
        await StartAsync();
        _node.ExpectErrorContaining("Request body too large");
        using var http = _node.OpenHttp();
        using var request = new HttpRequestMessage(HttpMethod.Post, "/v1/studios/alder/mixes") { Content = Json($"{{\"mixer\": \"{new string('x', 2 * MessageBytes)}\"}}") };
        request.Headers.TransferEncodingChunked = true;

        using var answer = await http.SendAsync(request);

        Assert.False(answer.IsSuccessStatusCode);
    }

    /// <summary>Only the headers are sent: a node that read the body first would wait for it.</summary>
    [Fact]
    public async Task BodyWithoutAKey_IsRefusedBeforeItIsRead()
    {
        await StartAsync();
        using var connection = await RawConnection.OpenAsync(_node.HttpAddress.Port);

        await connection.SayAsync("POST /v1/studios/alder/mixes HTTP/1.1\r\nHost: node\r\nContent-Type: application/json\r\nContent-Length: 200000\r\n\r\n");

        var answer = await connection.HearAsync();
        Assert.StartsWith("HTTP/1.1 401", answer, StringComparison.Ordinal);
        Assert.Contains("KEY_NOT_ACCEPTED", answer.Contains('{', StringComparison.Ordinal) ? answer : await connection.HearAsync(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task CallsOfOneKey_AreRefusedPastTheirBurst_AndAdmittedAgainLater()
    {
        await StartAsync("--Limits:CallsPerSecond=1", "--Limits:CallBurst=3");

        for (var i = 0; i < 3; i++) await IdentifyAsync();
        var refusal = await FirstRefusalAsync(IdentifyAsync);

        Assert.Equal((StatusCode.ResourceExhausted, "CALLS_TOO_MANY"), (refusal.StatusCode, refusal.Reason()));
        Assert.InRange(refusal.GetRpcStatus()!.GetDetail<RetryInfo>()!.RetryDelay.ToTimeSpan(), TimeSpan.FromMilliseconds(1), TimeSpan.FromSeconds(10));
        await UntilAdmittedAsync(IdentifyAsync);
    }

    [Fact]
    public async Task CallsOfOneKey_DoNotCountForAnother()
    {
        await StartAsync("--Limits:CallsPerSecond=1", "--Limits:CallBurst=4");
        await new StudioService.StudioServiceClient(_node.Channel).CreateStudioAsync(new() { StudioId = "alder", Studio = new() { DisplayName = "Alder" } });
        var key = await new AccessService.AccessServiceClient(_node.Channel).CreateAccessKeyAsync(
            new() { Parent = "studios/alder", AccessKey = new() { DisplayName = "Ivo", Role = Role.Instructor } });
        using var other = _node.OpenChannel(key.Secret);

        await FirstRefusalAsync(IdentifyAsync);

        Assert.Equal("Ivo", (await new AccessService.AccessServiceClient(other).GetIdentityAsync(new())).DisplayName);
    }

    /// <summary>Addresses as a proxy on this machine names them; the last two are of one network, as one house has them.</summary>
    [Theory]
    [InlineData("203.0.113.7", "203.0.113.8", false)]
    [InlineData("203.0.113.7", "203.0.113.7", true)]
    [InlineData("2001:db8:1:2::7", "2001:db8:1:3::7", false)]
    [InlineData("2001:db8:1:2::7", "2001:db8:1:2:ffff::8", true)]
    public async Task CallsWithoutAKey_AreCountedByWhereTheyComeFrom(string first, string second, bool isSame)
    {
        await StartAsync("--Limits:AnonymousCallsPerSecond=1", "--Limits:AnonymousCallBurst=40");
        using var channel = _node.OpenChannel(null);
        var health = new Health.HealthClient(channel);
        Task CheckAsync(string from) => health.CheckAsync(new(), new Metadata { { "x-forwarded-for", from } }).ResponseAsync;
        var refusal = await FirstRefusalAsync(() => CheckAsync(first));
        Assert.Equal("CALLS_TOO_MANY", refusal.Reason());

        // One more of the first comes before each of the second, so that nothing is refilled in between.
        var refused = await Task.WhenAll(Enumerable.Range(0, 20).Select(async _ =>
        {
            await Record.ExceptionAsync(() => CheckAsync(first));
            return await Record.ExceptionAsync(() => CheckAsync(second)) is RpcException;
        }));

        Assert.Equal(isSame, refused.Any(one => one));
    }

    [Fact]
    public async Task StreamsOfOneKey_AreRefusedPastTheirNumber_AndAdmittedWhenOneEnds()
    {
        await StartAsync("--Limits:OpenStreams=2");
        var first = await WatchAsync();
        using var second = await WatchAsync();

        var refusal = await Assert.ThrowsAsync<RpcException>(WatchAsync);
        Assert.Equal((StatusCode.ResourceExhausted, "STREAMS_TOO_MANY"), (refusal.StatusCode, refusal.Reason()));

        first.Dispose();
        await UntilAdmittedAsync(async () => (await WatchAsync()).Dispose());
    }

    [Fact]
    public async Task Plans_WaitForTheirTurn_AndAreRefusedPastTheQueue()
    {
        await StartHangingAsync("--Limits:PlansAtOnce=1", "--Limits:PlansWaiting=1");
        var plans = new PlanService.PlanServiceClient(_node.Channel);
        using var first = plans.PlanSeason(new() { Parent = "studios/alder" });
        await _hang.OneAsync();
        using var second = plans.Replan(new() { Parent = "studios/alder" });

        // Whichever comes last of the two that find the planner taken is refused.
        using var third = plans.PlanSeason(new() { Parent = "studios/alder" });
        var both = await Task.WhenAny(EndOf(second), EndOf(third));
        var refusal = await both;

        Assert.Equal((StatusCode.ResourceExhausted, "PLANNER_BUSY"), (refusal?.StatusCode, refusal?.Reason()));
        Assert.Single(_hang.Methods);
        _hang.LetOneGo();
        await _hang.OneAsync();
        Assert.Equal(2, _hang.Methods.Count());
        _hang.LetOneGo();
    }

    /// <summary>A client that sets no deadline, and one that waits for an hour.</summary>
    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public async Task CallThatHangs_EndsWhenItsTimeIsOver(bool hasDeadline)
    {
        await StartHangingAsync("--Limits:CallDuration=00:00:00.3");
        DateTime? deadline = hasDeadline ? TimeProvider.System.GetUtcNow().UtcDateTime.AddHours(1) : null;

        var refusal = await Assert.ThrowsAsync<RpcException>(() => new AccessService.AccessServiceClient(_node.Channel).GetIdentityAsync(new(), deadline: deadline).ResponseAsync);

        Assert.Equal(StatusCode.DeadlineExceeded, refusal.StatusCode);
    }

    [Fact]
    public async Task JsonCallThatHangs_EndsWhenItsTimeIsOver()
    {
        await StartHangingAsync("--Limits:CallDuration=00:00:00.3");
        using var http = _node.OpenHttp();

        using var answer = await http.PostAsync("/v1/studios/alder/mixes", Json("{}"));

        Assert.Equal((HttpStatusCode.GatewayTimeout, "CALL_TOO_LONG"), (answer.StatusCode, await ReasonAsync(answer)));
    }

    [Fact]
    public async Task CallThatHangsForLess_IsAnswered()
    {
        await StartHangingAsync();
        var call = new AccessService.AccessServiceClient(_node.Channel).GetIdentityAsync(new());
        await _hang.OneAsync();

        _hang.LetOneGo();

        Assert.Equal("", (await call).DisplayName);
    }

    private async Task StartAsync(params string[] settings) => _node = await StudioHarness.StartAsync(null, settings);

    private async Task StartHangingAsync(params string[] settings) => _node = await StudioHarness.StartAsync(
        services => services.AddSingleton(_hang).Configure<GrpcServiceOptions>(grpc => grpc.Interceptors.Add<Hang>()), settings);

    private Task IdentifyAsync() => new AccessService.AccessServiceClient(_node.Channel).GetIdentityAsync(new()).ResponseAsync;

    /// <summary>Open once its first answer is here.</summary>
    private async Task<AsyncServerStreamingCall<HealthCheckResponse>> WatchAsync()
    {
        var watch = new Health.HealthClient(_node.Channel).Watch(new());
        await watch.ResponseStream.MoveNext();
        return watch;
    }

    private static async Task<RpcException?> EndOf<T>(AsyncServerStreamingCall<T> call) =>
        await Record.ExceptionAsync(() => call.ResponseStream.MoveNext(CancellationToken.None)) as RpcException;

    private static async Task<RpcException> FirstRefusalAsync(Func<Task> call)
    {
        for (var i = 0; i < 1_000; i++)
            if (await Record.ExceptionAsync(call) is RpcException refusal)
                return refusal;
        throw new InvalidOperationException("1,000 calls were admitted.");
    }

    /// <summary>Asks until it is admitted; xunit's own patience is the end of it.</summary>
    private static async Task UntilAdmittedAsync(Func<Task> call)
    {
        while (await Record.ExceptionAsync(call) is RpcException refusal) Assert.Equal(StatusCode.ResourceExhausted, refusal.StatusCode);
    }

    private static StringContent Json(string body) => new(body, Encoding.UTF8, MediaTypeHeaderValue.Parse("application/json"));

    private static async Task<string?> ReasonAsync(HttpResponseMessage answer) =>
        JsonDocument.Parse(await answer.Content.ReadAsStringAsync()).RootElement.GetProperty("details")[0].GetProperty("reason").GetString();
}
