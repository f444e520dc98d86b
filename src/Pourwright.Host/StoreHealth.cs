using Microsoft.Extensions.Diagnostics.HealthChecks;
using Pourwright.Studio.Storage;

namespace Pourwright.Host;

/// <summary>Healthy while the store answers a read and takes a write.</summary>
public sealed class StoreHealth(StudioReads reads, StudioWriter writer) : IHealthCheck
{
    public async Task<HealthCheckResult> CheckHealthAsync(HealthCheckContext context, CancellationToken cancellationToken = default)
    {
        reads.Read(session => session.Scalar<long>("SELECT 1"));
        await writer.WriteAsync(tx => tx.Now, cancellationToken);
        return HealthCheckResult.Healthy();
    }
}
