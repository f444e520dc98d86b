using Google.Protobuf;
using Grpc.Core;
using Grpc.Core.Interceptors;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Access;

/// <summary>Asks of every call who makes it, whether they may, and of which things; leaves out of answers what is not theirs to see.</summary>
/// <remarks>In this order, so that a refusal tells nothing: the key, the role, the names. Only then is a field looked at.</remarks>
public sealed class AccessInterceptor(PolicyTable policies, ThingSites things, PageSeal pages, StreamKeys streams, StudioReads reads) : Interceptor
{
    public override async Task<TResponse> UnaryServerHandler<TRequest, TResponse>(
        TRequest request, ServerCallContext context, UnaryServerMethod<TRequest, TResponse> continuation)
    {
        if (Admit(context) is not { } admitted) return await continuation(request, context);
        var leaveOut = await CheckAsync(admitted.Caller, request, typeof(TResponse), context.CancellationToken);
        if (leaveOut is null) return await continuation(request, context);
        pages.Open((IMessage)request);
        var answer = Thinned(await continuation(request, context), leaveOut);
        pages.Close((IMessage)answer);
        return answer;
    }

    public override async Task ServerStreamingServerHandler<TRequest, TResponse>(
        TRequest request, IServerStreamWriter<TResponse> responseStream, ServerCallContext context, ServerStreamingServerMethod<TRequest, TResponse> continuation)
    {
        if (Admit(context) is not { } key)
        {
            await continuation(request, responseStream, context);
            return;
        }
        var leaveOut = await CheckAsync(key.Caller, request, typeof(TResponse), context.CancellationToken);
        await streams.WhileGoodAsync(key, context, ending =>
            continuation(request, leaveOut is null ? responseStream : new ThinnedStream<TResponse>(responseStream, leaveOut), ending));
    }

    public override async Task<TResponse> ClientStreamingServerHandler<TRequest, TResponse>(
        IAsyncStreamReader<TRequest> requestStream, ServerCallContext context, ClientStreamingServerMethod<TRequest, TResponse> continuation)
    {
        if (Admit(context) is not { } key) return await continuation(requestStream, context);
        TResponse? answer = null;
        await streams.WhileGoodAsync(key, context, async ending => answer = await continuation(Checked(requestStream, key.Caller), ending));
        return answer!;
    }

    public override async Task DuplexStreamingServerHandler<TRequest, TResponse>(
        IAsyncStreamReader<TRequest> requestStream, IServerStreamWriter<TResponse> responseStream, ServerCallContext context, DuplexStreamingServerMethod<TRequest, TResponse> continuation)
    {
        if (Admit(context) is not { } key) await continuation(requestStream, responseStream, context);
        else await streams.WhileGoodAsync(key, context, ending => continuation(Checked(requestStream, key.Caller), responseStream, ending));
    }

    /// <summary>The key of a call that may be made; null of one that anyone may make.</summary>
    /// <exception cref="Refusal">KEY_NOT_ACCEPTED, NOT_ALLOWED; STORE_UNAVAILABLE where the key could not be looked up.</exception>
    private HeldKey? Admit(ServerCallContext context)
    {
        var policy = policies.Of(context.Method);
        if (policy?.Reach == Reach.Anyone) return null;
        var http = context.GetHttpContext();
        var key = HeldKey.Of(http) ?? throw http.Features.Get<Refusal>() ?? Refusal.KeyNotAccepted();
        Admission.Decide(key.Caller, policy, context.Method);
        return key;
    }

    /// <summary>What goes over the answer; null where all of it may be seen.</summary>
    private async Task<LeaveOut?> CheckAsync<TRequest>(Caller caller, TRequest request, Type answer, CancellationToken ct)
    {
        if (request is not IMessage message) return null;
        var scope = new Scope(caller, things, reads);
        await scope.CheckAsync(message, ct);
        return LeaveOut.Applies(caller, message, answer) ? new(caller, scope) : null;
    }

    private CheckedStream<TRequest> Checked<TRequest>(IAsyncStreamReader<TRequest> stream, Caller caller) => new(stream, new Scope(caller, things, reads));

    /// <summary>A copy: a handler may keep what it told, to compare it with what it tells next.</summary>
    private static T Thinned<T>(T answer, LeaveOut leaveOut)
    {
        if (answer is not IDeepCloneable<T> message) return answer;
        var copy = message.Clone();
        leaveOut.From((IMessage)copy!);
        return copy;
    }

    /// <summary>Hands on what is the caller's to see.</summary>
    private sealed class ThinnedStream<T>(IServerStreamWriter<T> inner, LeaveOut leaveOut) : IServerStreamWriter<T>
    {
        public WriteOptions? WriteOptions { get => inner.WriteOptions; set => inner.WriteOptions = value; }

        public Task WriteAsync(T message) => WriteAsync(message, CancellationToken.None);

        public Task WriteAsync(T message, CancellationToken cancellationToken)
        {
            if (message is not IMessage answer) return inner.WriteAsync(message, cancellationToken);
            return leaveOut.Sees(answer) ? inner.WriteAsync(Thinned(message, leaveOut), cancellationToken) : Task.CompletedTask;
        }
    }

    /// <summary>Looks at the names of every message that comes.</summary>
    private sealed class CheckedStream<T>(IAsyncStreamReader<T> inner, Scope scope) : IAsyncStreamReader<T>
    {
        public T Current => inner.Current;

        public async Task<bool> MoveNext(CancellationToken cancellationToken)
        {
            if (!await ReadAsync(cancellationToken)) return false;
            if (Current is IMessage message) await scope.CheckAsync(message, cancellationToken);
            return true;
        }

        /// <summary>The one message of other calls is read before anything of ours runs; those of a stream are read here.</summary>
        private async Task<bool> ReadAsync(CancellationToken ct)
        {
            try
            {
                return await inner.MoveNext(ct);
            }
            catch (InvalidProtocolBufferException)
            {
                throw Refusal.MessageUnreadable();
            }
        }
    }
}
