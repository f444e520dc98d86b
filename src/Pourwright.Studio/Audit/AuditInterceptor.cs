using Google.Protobuf;
using Grpc.Core;
using Grpc.Core.Interceptors;
using Pourwright.Cure;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Audit;

/// <summary>Has every write entered with who made it, and every call that was denied, and every write that was refused.</summary>
/// <remarks>Stands around the checks of access. Reads that are answered, and reads that are refused for what they ask, are not entered.</remarks>
public sealed class AuditInterceptor(TurnedAwayCalls turnedAway, TimeProvider clock) : Interceptor
{
    public override Task<TResponse> UnaryServerHandler<TRequest, TResponse>(
        TRequest request, ServerCallContext context, UnaryServerMethod<TRequest, TResponse> continuation) =>
        WatchAsync(context, request as IMessage, () => continuation(request, context));

    public override Task<TResponse> ClientStreamingServerHandler<TRequest, TResponse>(
        IAsyncStreamReader<TRequest> requestStream, ServerCallContext context, ClientStreamingServerMethod<TRequest, TResponse> continuation) =>
        WatchAsync(context, null, () => continuation(requestStream, context));

    public override Task ServerStreamingServerHandler<TRequest, TResponse>(
        TRequest request, IServerStreamWriter<TResponse> responseStream, ServerCallContext context, ServerStreamingServerMethod<TRequest, TResponse> continuation) =>
        WatchAsync(context, request as IMessage, async () => { await continuation(request, responseStream, context); return true; });

    public override Task DuplexStreamingServerHandler<TRequest, TResponse>(
        IAsyncStreamReader<TRequest> requestStream, IServerStreamWriter<TResponse> responseStream, ServerCallContext context, DuplexStreamingServerMethod<TRequest, TResponse> continuation) =>
        WatchAsync(context, null, async () => { await continuation(requestStream, responseStream, context); return true; });

    /// <param name="context">The call.</param>
    /// <param name="request">Null where it comes as a stream: that counts as a write.</param>
    /// <param name="answer">Checks access, then answers.</param>
    private async Task<T> WatchAsync<T>(ServerCallContext context, IMessage? request, Func<Task<T>> answer)
    {
        var call = AuditedCall.Of(context);
        CallAtHand.Current = call;
        try
        {
            return await answer();
        }
        catch (Refusal refusal) when (IsOfNote(refusal, request))
        {
            await EnterAsync(call, refusal, request);
            throw;
        }
        catch (CureRangeException range) when (IsWrite(request))
        {
            await EnterAsync(call, Refusal.CureModelRange(range), request);
            throw;
        }
    }

    private Task EnterAsync(AuditedCall call, Refusal refusal, IMessage? request) => turnedAway.TellAsync(call.TurnedAway(refusal, request, clock.GetUtcNow()));

    /// <summary>A store that is away or full could not take the entry either.</summary>
    private static bool IsOfNote(Refusal refusal, IMessage? request) =>
        refusal.IsDenial || (IsWrite(request) && refusal.Code is not (StatusCode.Unavailable or StatusCode.ResourceExhausted));

    /// <summary>Whatever takes a `request_id` writes; a test of the protocol's style holds it.</summary>
    private static bool IsWrite(IMessage? request) =>
        request is null || (request.Descriptor.FindFieldByName("request_id") is not null
            && request.Descriptor.FindFieldByName("validate_only")?.Accessor.GetValue(request) is not true);
}
