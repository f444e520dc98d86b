using System.Text;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Hosting;
using Microsoft.AspNetCore.Hosting.Server;
using Microsoft.AspNetCore.Hosting.Server.Features;
using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging;
using Pourwright.Testing;

namespace Pourwright.Journeys;

/// <summary>What a collector of the OpenTelemetry protocol (OTLP over HTTP, paths /v1/traces and /v1/metrics) gets from a node that is told of it.</summary>
public sealed class TelemetryTests
{
    private static readonly TimeSpan Patience = TimeSpan.FromMinutes(2);

    [Fact]
    public async Task Node_ToldOfACollector_SendsSpansOfCallsAndItsFigures()
    {
        var calls = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
        var figures = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
        await using var collector = await StartCollectorAsync(async request =>
        {
            using var body = new MemoryStream();
            await request.Body.CopyToAsync(body);
            // Names stand in protobuf as they are, in UTF-8.
            var text = Encoding.UTF8.GetString(body.ToArray());
            if (request.Path == "/v1/traces" && text.Contains("StudioService/CreateStudio", StringComparison.Ordinal)) calls.TrySetResult();
            if (request.Path == "/v1/metrics" && text.Contains("pourwright.commit.writes", StringComparison.Ordinal)) figures.TrySetResult();
        });
        await using var node = await StudioHarness.StartAsync(null,
            $"--OTEL_EXPORTER_OTLP_ENDPOINT={collector.Services.GetRequiredService<IServer>().Features.Get<IServerAddressesFeature>()!.Addresses.Single()}",
            "--OTEL_EXPORTER_OTLP_PROTOCOL=http/protobuf", "--OTEL_BSP_SCHEDULE_DELAY=100", "--OTEL_METRIC_EXPORT_INTERVAL=100");

        await SampleStudio.CreateAsync(node);

        await calls.Task.WaitAsync(Patience);
        await figures.Task.WaitAsync(Patience);
    }

    private static async Task<WebApplication> StartCollectorAsync(Func<HttpRequest, Task> take)
    {
        var builder = WebApplication.CreateSlimBuilder();
        builder.Logging.ClearProviders();
        builder.WebHost.UseUrls("http://127.0.0.1:0");
        var collector = builder.Build();
        collector.MapPost("/{**path}", (HttpRequest request) => take(request));
        await collector.StartAsync();
        return collector;
    }
}
