using Microsoft.Extensions.Configuration;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.DependencyInjection.Extensions;
using Pourwright.Studio.Messaging;

namespace Pourwright.Studio.Plans;

/// <summary>Registers plans.</summary>
public static class PlansSlice
{
    /// <summary>What both roles need; settings of the section `Plans`. What was solved of cures is kept for all callers.</summary>
    public static IServiceCollection AddPlans(this IServiceCollection services)
    {
        services.TryAddSingleton(provider => provider.GetRequiredService<IConfiguration>().GetSection("Plans").Get<PlanOptions>() ?? new());
        services.TryAddSingleton<CureScenarios>();
        services.TryAddSingleton<SeasonPlanner>();
        return services;
    }

    /// <summary>A look costs nothing while readings stay away, and some seconds after a cold night.</summary>
    public static SweepPlan AddPlanSweeps(this SweepPlan plan) => plan.Every<ClassesAtRisk>(TimeSpan.FromMinutes(30));
}
