using Google.Rpc;
using Grpc.Core;
using Microsoft.Data.Sqlite;
using Npgsql;
using Microsoft.Extensions.Logging;
using Pourwright.Cure;
using Pourwright.Cure.Climate;
using Pourwright.Studio.Refusals;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Refusals;

public sealed class RefusalInterceptorTests
{
    private readonly RecordingLogger _logger = new();

    /// <summary>What a handler throws, what the client sees, and whether the node's log keeps it.</summary>
    public static TheoryData<Exception, StatusCode, bool> Verdicts => new()
    {
        { Refusal.Precondition(Reasons.LotHeld, "held"), StatusCode.FailedPrecondition, false },
        { new RpcException(new Grpc.Core.Status(StatusCode.PermissionDenied, "no")), StatusCode.PermissionDenied, false },
        { new SqliteException("full", SQLitePCL.raw.SQLITE_FULL), StatusCode.ResourceExhausted, true },
        { new SqliteException("io", SQLitePCL.raw.SQLITE_IOERR, SQLitePCL.raw.SQLITE_IOERR_SHMSIZE), StatusCode.ResourceExhausted, true },
        { new SqliteException("io", SQLitePCL.raw.SQLITE_IOERR), StatusCode.Unavailable, true },
        { new SqliteException("busy", SQLitePCL.raw.SQLITE_BUSY), StatusCode.Unavailable, true },
        { new SqliteException("unique", SQLitePCL.raw.SQLITE_CONSTRAINT), StatusCode.Internal, true },
        { new PostgresException("full", "ERROR", "ERROR", PostgresErrorCodes.DiskFull), StatusCode.ResourceExhausted, true },
        { new PostgresException("shutdown", "FATAL", "FATAL", PostgresErrorCodes.AdminShutdown), StatusCode.Unavailable, true },
        { new PostgresException("unique", "ERROR", "ERROR", PostgresErrorCodes.UniqueViolation), StatusCode.Internal, true },
        { new NpgsqlException("no connection"), StatusCode.Unavailable, true },
        { new InvalidOperationException("secret"), StatusCode.Internal, true },
        { new OperationCanceledException("of our own making"), StatusCode.Internal, true },
    };

    [Theory]
    [MemberData(nameof(Verdicts))]
    public async Task EveryKindOfCall_Throws_GivesTheSameVerdict(Exception thrown, StatusCode code, bool isLogged)
    {
        foreach (var call in Calls(thrown, new Call(CancellationToken.None)))
        {
            _logger.Entries.Clear();
            var seen = await Assert.ThrowsAsync<RpcException>(call);
            Assert.Equal(code, seen.StatusCode);
            Assert.Equal(isLogged ? 1 : 0, _logger.Entries.Count);
            Assert.DoesNotContain("secret", seen.Status.Detail);
        }
    }

    [Fact]
    public async Task EveryKindOfCall_CancelledByTheCaller_IsCancelledAndNotLogged()
    {
        using var cancelled = new CancellationTokenSource();
        await cancelled.CancelAsync();
        foreach (var call in Calls(new OperationCanceledException(), new Call(cancelled.Token)))
            Assert.Equal(StatusCode.Cancelled, (await Assert.ThrowsAsync<RpcException>(call)).StatusCode);
        Assert.Empty(_logger.Entries);
    }

    /// <summary>What the framework says of a message to a client that has left: only a call that streams can meet it.</summary>
    [Fact]
    public async Task WriteToWhoeverHasLeft_IsCancelled_AndNoErrorWhereTheCallStreams()
    {
        using var left = new CancellationTokenSource();
        await left.CancelAsync();
        List<(StatusCode, int)> seen = [];
        foreach (var call in Calls(new InvalidOperationException("Can't write the message because the request is complete."), new Call(left.Token)))
        {
            _logger.Entries.Clear();
            seen.Add(((await Assert.ThrowsAsync<RpcException>(call)).StatusCode, _logger.Entries.Count));
        }

        var (fault, gone) = ((StatusCode.Internal, 1), (StatusCode.Cancelled, 0));
        Assert.Equal([fault, fault, gone, gone, fault], seen);
    }

    [Fact]
    public async Task Unary_Accepted_PassesThrough()
    {
        var mix = new Mix();
        Assert.Same(mix, await new RefusalInterceptor(_logger).UnaryServerHandler(
            new GetMixRequest(), new Call(CancellationToken.None), (_, _) => Task.FromResult(mix)));
    }

    [Fact]
    public async Task Unary_OutsideTheCureModelsRange_SaysByHowMuch()
    {
        var outOfRange = Assert.Throws<CureRangeException>(() => AirMoisture.SaturationPressureHectopascal(99.5));
        foreach (var call in Calls(outOfRange, new Call(CancellationToken.None)))
        {
            var seen = await Assert.ThrowsAsync<RpcException>(call);
            var info = seen.GetRpcStatus()!.GetDetail<ErrorInfo>();
            Assert.Equal((StatusCode.FailedPrecondition, Reasons.CureModelRange), (seen.StatusCode, info.Reason));
            Assert.Equal(
                ("Air temperature", "99.5", "-45", "60", "°C"),
                (info.Metadata["quantity"], info.Metadata["value"], info.Metadata["lowest"], info.Metadata["highest"], info.Metadata["unit"]));
        }
    }

    private IEnumerable<Func<Task>> Calls(Exception thrown, Call context)
    {
        var interceptor = new RefusalInterceptor(_logger);
        yield return () => interceptor.UnaryServerHandler<GetMixRequest, Mix>(new(), context, (_, _) => Task.FromException<Mix>(thrown));
        yield return () => interceptor.ClientStreamingServerHandler<GetMixRequest, Mix>(null!, context, (_, _) => Task.FromException<Mix>(thrown));
        yield return () => interceptor.ServerStreamingServerHandler<GetMixRequest, Mix>(new(), null!, context, (_, _, _) => Task.FromException(thrown));
        yield return () => interceptor.DuplexStreamingServerHandler<GetMixRequest, Mix>(null!, null!, context, (_, _, _) => Task.FromException(thrown));
        yield return () => interceptor.UnaryServerHandler<GetMixRequest, Mix>(new(), context, (_, _) => throw thrown);
    }

    private sealed class RecordingLogger : ILogger<RefusalInterceptor>
    {
        public List<string> Entries { get; } = [];

        public IDisposable? BeginScope<TState>(TState state) where TState : notnull => null;

        public bool IsEnabled(LogLevel logLevel) => true;

        public void Log<TState>(LogLevel logLevel, EventId eventId, TState state, Exception? exception, Func<TState, Exception?, string> formatter) =>
            Entries.Add(formatter(state, exception));
    }

    private sealed class Call(CancellationToken ct) : ServerCallContext
    {
        protected override string MethodCore => "/pourwright.v1.MixService/GetMix";

        protected override string HostCore => "localhost";

        protected override string PeerCore => "ipv4:127.0.0.1:1";

        protected override DateTime DeadlineCore => DateTime.MaxValue;

        protected override Metadata RequestHeadersCore { get; } = [];

        protected override CancellationToken CancellationTokenCore => ct;

        protected override Metadata ResponseTrailersCore { get; } = [];

        protected override Grpc.Core.Status StatusCore { get; set; }

        protected override WriteOptions? WriteOptionsCore { get; set; }

        protected override AuthContext AuthContextCore { get; } = new(null, []);

        protected override ContextPropagationToken CreatePropagationTokenCore(ContextPropagationOptions? options) => throw new NotSupportedException();

        protected override Task WriteResponseHeadersAsyncCore(Metadata responseHeaders) => Task.CompletedTask;
    }
}
