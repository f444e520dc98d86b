using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.DependencyInjection.Extensions;
using Pourwright.Studio.Messaging;

namespace Pourwright.Studio.Suspects;

/// <summary>Registers suspects.</summary>
public static class SuspectsSlice
{
    public static IServiceCollection AddSuspects(this IServiceCollection services)
    {
        services.TryAddSingleton<CureMemo>();
        services.TryAddSingleton<FindSuspects>();
        return services;
    }

    /// <summary>A look is one count while no defect is reported. Common practice, no source.</summary>
    public static SweepPlan AddSuspectSweeps(this SweepPlan plan) => plan.Every<NoticeAlarms>(TimeSpan.FromMinutes(1));
}
