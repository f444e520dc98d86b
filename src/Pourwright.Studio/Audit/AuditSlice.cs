using Microsoft.Extensions.DependencyInjection;

namespace Pourwright.Studio.Audit;

/// <summary>What the audit is made of.</summary>
public static class AuditSlice
{
    public static IServiceCollection AddAudit(this IServiceCollection services) => services
        .AddSingleton<TurnedAwayCalls>()
        .AddHostedService(provider => provider.GetRequiredService<TurnedAwayCalls>());
}
