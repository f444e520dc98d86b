using Grpc.AspNetCore.HealthChecks;
using Microsoft.AspNetCore.Diagnostics.HealthChecks;
using Microsoft.Extensions.Diagnostics.HealthChecks;

namespace Pourwright.Host;

/// <summary>What a node says of itself: `/healthz/live` that its process answers, `/healthz/ready` that it can do its work, line by line; `/healthz` the same in a word.</summary>
/// <remarks>
/// Ready is a node whose store answers and takes writes, and, where it is a worker, whose bus is connected. It was migrated before it
/// listened. A worker whose broker is away is alive and not ready: to restart it would help nobody. gRPC health speaks of the store alone,
/// so that calls are sent to a node as long as it can keep them.
/// </remarks>
internal static class NodeHealth
{
    public const string Store = "store";

    public static IServiceCollection AddNodeHealth(this IServiceCollection services) => services.AddHealthChecks().AddCheck<StoreHealth>(Store).Services;

    public static void SpeakOfTheStore(GrpcHealthChecksOptions options)
    {
        options.Services.Clear();
        options.Services.Map("", check => check.Name == Store);
    }

    public static void MapNodeHealth(this IEndpointRouteBuilder endpoints)
    {
        var statuses = new Dictionary<HealthStatus, int>
        {
            [HealthStatus.Healthy] = StatusCodes.Status200OK,
            [HealthStatus.Degraded] = StatusCodes.Status503ServiceUnavailable,
            [HealthStatus.Unhealthy] = StatusCodes.Status503ServiceUnavailable,
        };
        endpoints.MapHealthChecks("/healthz", new() { ResultStatusCodes = statuses });
        endpoints.MapHealthChecks("/healthz/ready", new() { ResultStatusCodes = statuses, ResponseWriter = WriteLinesAsync });
        endpoints.MapGet("/healthz/live", () => "");
    }

    private static Task WriteLinesAsync(HttpContext context, HealthReport report) => context.Response.WriteAsync(string.Concat(
        report.Entries.OrderBy(entry => entry.Key, StringComparer.Ordinal).Select(entry => $"{entry.Key}: {entry.Value.Status}\n")));
}
