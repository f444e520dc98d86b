using System.Collections.Concurrent;
using System.Threading.Channels;
using Grpc.Core;
using Grpc.Core.Interceptors;

namespace Pourwright.Journeys.Limits;

/// <summary>The last in line: a call that comes here goes on when it is told to, or ends when its time is over.</summary>
internal sealed class Hang : Interceptor
{
    private readonly Channel<bool> _come = Channel.CreateUnbounded<bool>(), _go = Channel.CreateUnbounded<bool>();

    private readonly ConcurrentQueue<string> _methods = [];

    public IEnumerable<string> Methods => _methods;

    /// <summary>Waits until one more call hangs.</summary>
    public Task OneAsync() => _come.Reader.ReadAsync().AsTask().WaitAsync(TimeSpan.FromSeconds(60));

    public void LetOneGo() => _go.Writer.TryWrite(true);

    public override async Task<TResponse> UnaryServerHandler<TRequest, TResponse>(
        TRequest request, ServerCallContext context, UnaryServerMethod<TRequest, TResponse> continuation)
    {
        await WaitAsync(context);
        return Activator.CreateInstance<TResponse>();
    }

    public override Task ServerStreamingServerHandler<TRequest, TResponse>(
        TRequest request, IServerStreamWriter<TResponse> responseStream, ServerCallContext context, ServerStreamingServerMethod<TRequest, TResponse> continuation) =>
        WaitAsync(context);

    private async Task WaitAsync(ServerCallContext context)
    {
        _methods.Enqueue(context.Method);
        _come.Writer.TryWrite(true);
        await _go.Reader.ReadAsync(context.CancellationToken);
    }
}
