using System.Collections.Concurrent;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Hosting;
using Microsoft.AspNetCore.Hosting.Server;
using Microsoft.AspNetCore.Hosting.Server.Features;
using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging;

namespace Pourwright.Journeys.Topology;

/// <summary>A receiver of webhooks that writes down which event came how often, and can be made to hold its answers back.</summary>
public sealed class WebhookSink : IAsyncDisposable
{
    private readonly ConcurrentQueue<string> _posts = [];
    private readonly WebApplication _app;
    private readonly TaskCompletionSource _open = new(TaskCreationOptions.RunContinuationsAsynchronously);
    private readonly TaskCompletionSource _held = new(TaskCreationOptions.RunContinuationsAsynchronously);
    private int _answersLeft = int.MaxValue;

    private WebhookSink(WebApplication app) => _app = app;

    public int Port { get; private set; }

    /// <summary>Ids in the order in which they came.</summary>
    public IReadOnlyList<string> Posts => [.. _posts];

    /// <summary>Completes when an answer is held back.</summary>
    public Task Held => _held.Task;

    public static async Task<WebhookSink> StartAsync()
    {
        var builder = WebApplication.CreateSlimBuilder();
        builder.Logging.ClearProviders();
        builder.WebHost.UseUrls("http://127.0.0.1:0");
        var app = builder.Build();
        var sink = new WebhookSink(app);
        app.MapPost("/", sink.ReceiveAsync);
        await app.StartAsync();
        sink.Port = new Uri(app.Services.GetRequiredService<IServer>().Features.Get<IServerAddressesFeature>()!.Addresses.Single()).Port;
        return sink;
    }

    /// <summary>Answers so many more, and holds back what comes after them until <see cref="Open"/>.</summary>
    public void HoldAfter(int count) => Volatile.Write(ref _answersLeft, count);

    public void Open() => _open.TrySetResult();

    public ValueTask DisposeAsync() => _app.DisposeAsync();

    private async Task ReceiveAsync(HttpContext context)
    {
        _posts.Enqueue(context.Request.Headers["webhook-id"].ToString());
        if (Interlocked.Decrement(ref _answersLeft) >= 0) return;
        _held.TrySetResult();
        // Whoever waits for the answer may be killed meanwhile.
        await _open.Task.WaitAsync(context.RequestAborted).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
    }
}
