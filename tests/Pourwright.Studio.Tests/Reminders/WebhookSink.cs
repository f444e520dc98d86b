using System.Collections.Concurrent;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Hosting;
using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.Logging;

namespace Pourwright.Studio.Tests.Reminders;

/// <summary>A receiver of webhooks in this process: `/hook` answers as told, `/elsewhere` is where a redirect would lead.</summary>
internal sealed class WebhookSink : IAsyncDisposable
{
    private readonly WebApplication _app;

    private WebhookSink(WebApplication app) => _app = app;

    public ConcurrentQueue<Received> Requests { get; } = [];

    public int Status { get; set; } = StatusCodes.Status204NoContent;

    public Uri Address => new($"{_app.Urls.Single()}/hook");

    /// <summary>Host and port, as a list of allowed hosts names it.</summary>
    public string Host => Address.Authority;

    public static async Task<WebhookSink> StartAsync()
    {
        var builder = WebApplication.CreateSlimBuilder();
        builder.WebHost.UseUrls("http://127.0.0.1:0");
        builder.Logging.ClearProviders();
        var sink = new WebhookSink(builder.Build());
        sink._app.MapPost("/{place}", sink.AnswerAsync);
        await sink._app.StartAsync();
        return sink;
    }

    public ValueTask DisposeAsync() => _app.DisposeAsync();

    private async Task AnswerAsync(HttpContext context)
    {
        using var body = new MemoryStream();
        await context.Request.Body.CopyToAsync(body);
        Requests.Enqueue(new Received(
            context.Request.Path, context.Request.Headers.ToDictionary(h => h.Key.ToLowerInvariant(), h => h.Value.ToString()), body.ToArray()));
        context.Response.StatusCode = Status;
        if (Status is >= 300 and < 400) context.Response.Headers.Location = "/elsewhere";
    }
}

internal sealed record Received(string Path, IReadOnlyDictionary<string, string> Headers, byte[] Body);
