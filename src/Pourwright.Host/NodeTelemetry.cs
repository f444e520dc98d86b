using OpenTelemetry;
using OpenTelemetry.Metrics;
using OpenTelemetry.Resources;
using OpenTelemetry.Trace;
using Pourwright.Studio.Telemetry;

namespace Pourwright.Host;

/// <summary>Sends spans and figures to an OpenTelemetry collector where the environment names one, by the variables of its standard: `OTEL_EXPORTER_OTLP_ENDPOINT`, `OTEL_TRACES_SAMPLER` and so on.</summary>
internal static class NodeTelemetry
{
    /// <summary>What others tell: calls, the bus, the database server.</summary>
    private static readonly string[] Sources = [StudioTelemetry.Name, "MassTransit", "Npgsql"],
        Meters = [StudioTelemetry.Name, "MassTransit", "Npgsql", "Microsoft.AspNetCore.Hosting", "Microsoft.AspNetCore.Server.Kestrel", "System.Runtime"];

    public static IServiceCollection AddTelemetry(this IServiceCollection services, IConfiguration configuration, NodeSettings node)
    {
        if (configuration["OTEL_EXPORTER_OTLP_ENDPOINT"] is not { Length: > 0 }) return services;
        services.AddOpenTelemetry()
            .ConfigureResource(resource => resource.AddService($"pourwright-{node.Roles.Replace(',', '-')}"))
            .WithTracing(spans => spans.AddAspNetCoreInstrumentation(calls => calls.Filter = call => !call.Request.Path.StartsWithSegments("/healthz")).AddSource(Sources))
            .WithMetrics(figures => figures.AddMeter(Meters))
            .UseOtlpExporter();
        return services;
    }
}
