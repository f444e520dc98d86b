using System.Buffers;
using System.Collections.Concurrent;
using System.Net;
using MimeKit;
using SmtpServer;
using SmtpServer.ComponentModel;
using SmtpServer.Net;
using SmtpServer.Protocol;
using SmtpServer.Storage;

namespace Pourwright.Studio.Tests.Reminders;

/// <summary>A mail server of this process that keeps what it is given. It knows no mailbox whose name begins with "nobody".</summary>
internal sealed class MailSink : MessageStore, IAsyncDisposable
{
    private readonly CancellationTokenSource _stop = new();
    private readonly TaskCompletionSource<int> _port = new(TaskCreationOptions.RunContinuationsAsynchronously);
    private readonly Task _running;

    private MailSink()
    {
        var listeners = new EndpointListenerFactory();
        listeners.EndpointStarted += (_, started) => _port.TrySetResult(((IPEndPoint)started.LocalEndPoint).Port);
        var services = new ServiceProvider();
        services.Add(listeners);
        services.Add((IMessageStore)this);
        services.Add((IMailboxFilter)new DelegatingMailboxFilter((to, _) => !to.User.StartsWith("nobody", StringComparison.Ordinal)));
        var options = new SmtpServerOptionsBuilder().ServerName("sink")
            .Endpoint(endpoint => endpoint.Endpoint(new IPEndPoint(IPAddress.Loopback, 0))).Build();
        _running = new SmtpServer.SmtpServer(options, services).StartAsync(_stop.Token);
    }

    public int Port => _port.Task.Result;

    public ConcurrentQueue<MimeMessage> Received { get; } = [];

    public static async Task<MailSink> StartAsync()
    {
        var sink = new MailSink();
        await sink._port.Task;
        return sink;
    }

    public override Task<SmtpResponse> SaveAsync(
        ISessionContext context, IMessageTransaction transaction, ReadOnlySequence<byte> buffer, CancellationToken cancellationToken)
    {
        using var bytes = new MemoryStream(buffer.ToArray());
        Received.Enqueue(MimeMessage.Load(bytes, cancellationToken));
        return Task.FromResult(SmtpResponse.Ok);
    }

    public async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync();
        await _running.ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        _stop.Dispose();
    }
}
