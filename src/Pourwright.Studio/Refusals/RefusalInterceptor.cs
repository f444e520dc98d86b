using Grpc.Core;
using Grpc.Core.Interceptors;
using Microsoft.AspNetCore.Connections;
using Microsoft.Extensions.Logging;
using Pourwright.Cure;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Refusals;

/// <summary>Turns what a handler throws into what a client may see: refusals with their details, anything else without.</summary>
public sealed class RefusalInterceptor(ILogger<RefusalInterceptor> logger) : Interceptor
{
    public override Task<TResponse> UnaryServerHandler<TRequest, TResponse>(
        TRequest request, ServerCallContext context, UnaryServerMethod<TRequest, TResponse> continuation) =>
        Guard(context, () => continuation(request, context));

    public override Task<TResponse> ClientStreamingServerHandler<TRequest, TResponse>(
        IAsyncStreamReader<TRequest> requestStream, ServerCallContext context, ClientStreamingServerMethod<TRequest, TResponse> continuation) =>
        Guard(context, () => continuation(requestStream, context));

    public override Task ServerStreamingServerHandler<TRequest, TResponse>(
        TRequest request, IServerStreamWriter<TResponse> responseStream, ServerCallContext context, ServerStreamingServerMethod<TRequest, TResponse> continuation) =>
        Guard(context, () => StreamAsync(context, continuation(request, responseStream, context)));

    public override Task DuplexStreamingServerHandler<TRequest, TResponse>(
        IAsyncStreamReader<TRequest> requestStream, IServerStreamWriter<TResponse> responseStream, ServerCallContext context, DuplexStreamingServerMethod<TRequest, TResponse> continuation) =>
        Guard(context, () => StreamAsync(context, continuation(requestStream, responseStream, context)));

    private async Task<T> Guard<T>(ServerCallContext context, Func<Task<T>> call)
    {
        try
        {
            return await call();
        }
        catch (Exception e) when (e is not RpcException)
        {
            throw Translate(e, context);
        }
    }

    /// <summary>To whoever has left the framework writes nothing more, and calls it an invalid operation.</summary>
    private static async Task<bool> StreamAsync(ServerCallContext context, Task streaming)
    {
        try
        {
            await streaming;
            return true;
        }
        catch (InvalidOperationException e) when (context.CancellationToken.IsCancellationRequested)
        {
            throw new OperationCanceledException(e.Message, e);
        }
    }

    private RpcException Translate(Exception e, ServerCallContext context) => e switch
    {
        Refusal refusal => refusal.ToRpcException(),
        CureRangeException range => Refusal.CureModelRange(range).ToRpcException(),
        OperationCanceledException when CallEnd.Reached(context) is { } end => Refusal.CallTooLong(end.Most).ToRpcException(),
        OperationCanceledException when context.CancellationToken.IsCancellationRequested =>
            new RpcException(new Status(StatusCode.Cancelled, "The call was cancelled.")),
        IOException gone when IsOfTheConnection(gone) => new RpcException(new Status(StatusCode.Cancelled, "The connection ended in the middle of the call.")),
        _ when StoreErrors.ToRefusal(e) is { } refusal => Logged(e, context, refusal.ToRpcException()),
        _ => Logged(e, context, new RpcException(new Status(StatusCode.Internal, "The call failed for a reason of ours; it is in the node's log."))),
    };

    /// <summary>Whoever streams may leave in the middle of a message, before anybody has said that the call is cancelled.</summary>
    private static bool IsOfTheConnection(IOException e) => e is ConnectionResetException || e.InnerException is ConnectionAbortedException or ConnectionResetException;

    private RpcException Logged(Exception e, ServerCallContext context, RpcException answer)
    {
        logger.LogError(e, "{Method} failed with {Code}.", context.Method, answer.StatusCode);
        return answer;
    }
}
