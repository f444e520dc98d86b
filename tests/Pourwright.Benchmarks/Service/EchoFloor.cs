using System.Net;
using Grpc.Core;
using Grpc.Net.Client;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Hosting;
using Microsoft.AspNetCore.Hosting.Server;
using Microsoft.AspNetCore.Hosting.Server.Features;
using Microsoft.AspNetCore.Server.Kestrel.Core;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging;

namespace Pourwright.Benchmarks.Service;

/// <summary>What gRPC on this machine takes without any work: a server that sends back the bytes it was sent, over loopback.</summary>
internal sealed class EchoFloor : IAsyncDisposable
{
    private static readonly Marshaller<byte[]> Bytes = Marshallers.Create(bytes => bytes, bytes => bytes);

    private static readonly Method<byte[], byte[]>
        SayMethod = new(MethodType.Unary, "floor.Echo", "Say", Bytes, Bytes),
        RepeatMethod = new(MethodType.ServerStreaming, "floor.Echo", "Repeat", Bytes, Bytes);

    private readonly WebApplication _app;
    private readonly GrpcChannel _channel;

    private EchoFloor(WebApplication app)
    {
        _app = app;
        _channel = GrpcChannel.ForAddress(app.Services.GetRequiredService<IServer>().Features.Get<IServerAddressesFeature>()!.Addresses.Single());
    }

    /// <param name="port">0 takes a free one.</param>
    public static async Task<EchoFloor> StartAsync(int port = 0)
    {
        var app = Build(port);
        await app.StartAsync();
        return new(app);
    }

    /// <summary>As a process of its own, to measure how long a bare server takes to start.</summary>
    public static async Task<int> RunAsync(int port)
    {
        await Build(port).RunAsync();
        return 0;
    }

    public static async Task SayAsync(CallInvoker calls, byte[] bytes) =>
        await calls.AsyncUnaryCall(SayMethod, null, default, bytes).ResponseAsync;

    public Task SayAsync(byte[] bytes) => SayAsync(_channel.CreateCallInvoker(), bytes);

    /// <summary>Reads messages of so many bytes until there are <paramref name="count"/>.</summary>
    public async Task RepeatAsync(int count, int length)
    {
        using var call = _channel.CreateCallInvoker().AsyncServerStreamingCall(
            RepeatMethod, null, default, [.. BitConverter.GetBytes(count), .. new byte[length]]);
        var got = 0;
        while (await call.ResponseStream.MoveNext(CancellationToken.None)) got++;
        if (got != count) throw new InvalidOperationException($"{got} messages of {count} came.");
    }

    public async ValueTask DisposeAsync()
    {
        _channel.Dispose();
        await _app.StopAsync();
        await _app.DisposeAsync();
    }

    private static WebApplication Build(int port)
    {
        var builder = WebApplication.CreateBuilder();
        builder.Logging.ClearProviders();
        builder.Services.AddGrpc();
        builder.WebHost.ConfigureKestrel(kestrel => kestrel.Listen(IPAddress.Loopback, port, listen => listen.Protocols = HttpProtocols.Http2));
        var app = builder.Build();
        app.MapGrpcService<Echo>();
        return app;
    }

    /// <summary>As generated code would be: gRPC looks for methods of these names that override a base.</summary>
    [BindServiceMethod(typeof(EchoBase), nameof(Bind))]
    private abstract class EchoBase
    {
        public static void Bind(ServiceBinderBase binder, EchoBase? echo)
        {
            binder.AddMethod(SayMethod, echo is null ? null : echo.Say);
            binder.AddMethod(RepeatMethod, echo is null ? null : echo.Repeat);
        }

        public abstract Task<byte[]> Say(byte[] request, ServerCallContext context);

        public abstract Task Repeat(byte[] request, IServerStreamWriter<byte[]> answers, ServerCallContext context);
    }

    private sealed class Echo : EchoBase
    {
        public override Task<byte[]> Say(byte[] request, ServerCallContext context) => Task.FromResult(request);

        public override async Task Repeat(byte[] request, IServerStreamWriter<byte[]> answers, ServerCallContext context)
        {
            var message = request[sizeof(int)..];
            for (var left = BitConverter.ToInt32(request); left > 0; left--) await answers.WriteAsync(message, context.CancellationToken);
        }
    }
}
