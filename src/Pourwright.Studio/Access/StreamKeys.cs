using Grpc.Core;
using Pourwright.Studio.Refusals;

namespace Pourwright.Studio.Access;

/// <summary>Ends streams whose key is good no longer.</summary>
public sealed class StreamKeys(KeyRing keys, TimeProvider time)
{
    /// <summary>Runs a stream as long as its key is good.</summary>
    /// <exception cref="Refusal">KEY_NOT_ACCEPTED once it is not.</exception>
    public async Task WhileGoodAsync(HeldKey key, ServerCallContext context, Func<ServerCallContext, Task> run)
    {
        using var ending = CancellationTokenSource.CreateLinkedTokenSource(context.CancellationToken, key.Ended);
        using var watch = CancellationTokenSource.CreateLinkedTokenSource(ending.Token);
        var watching = WatchAsync(key, ending, watch.Token);
        try
        {
            await run(new EndingContext(context, ending.Token));
        }
        catch (Exception) when (IsOver(context, ending))
        {
            throw Refusal.KeyNotAccepted();
        }
        finally
        {
            await watch.CancelAsync();
            await watching;
        }
        if (IsOver(context, ending)) throw Refusal.KeyNotAccepted();
    }

    private static bool IsOver(ServerCallContext context, CancellationTokenSource ending) =>
        ending.IsCancellationRequested && !context.CancellationToken.IsCancellationRequested;

    private async Task WatchAsync(HeldKey key, CancellationTokenSource ending, CancellationToken done)
    {
        while (!done.IsCancellationRequested)
        {
            await Task.Delay(KeyRing.Freshness, time, done).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
            if (!done.IsCancellationRequested && !keys.IsGood(key)) await ending.CancelAsync();
        }
    }

    /// <summary>The context of a call that may end earlier than its client wants.</summary>
    private sealed class EndingContext(ServerCallContext inner, CancellationToken ending) : ServerCallContext
    {
        /// <summary>Where the framework looks for the request of a context that is not its own.</summary>
        private const string RequestKey = "__HttpContext";

        private readonly Dictionary<object, object> _state = new(inner.UserState) { [RequestKey] = inner.GetHttpContext() };

        protected override string MethodCore => inner.Method;

        protected override string HostCore => inner.Host;

        protected override string PeerCore => inner.Peer;

        protected override DateTime DeadlineCore => inner.Deadline;

        protected override Metadata RequestHeadersCore => inner.RequestHeaders;

        protected override CancellationToken CancellationTokenCore => ending;

        protected override Metadata ResponseTrailersCore => inner.ResponseTrailers;

        protected override Status StatusCore { get => inner.Status; set => inner.Status = value; }

        protected override WriteOptions? WriteOptionsCore { get => inner.WriteOptions; set => inner.WriteOptions = value; }

        protected override AuthContext AuthContextCore => inner.AuthContext;

        protected override IDictionary<object, object> UserStateCore => _state;

        protected override ContextPropagationToken CreatePropagationTokenCore(ContextPropagationOptions? options) => inner.CreatePropagationToken(options);

        protected override Task WriteResponseHeadersAsyncCore(Metadata responseHeaders) => inner.WriteResponseHeadersAsync(responseHeaders);
    }
}
