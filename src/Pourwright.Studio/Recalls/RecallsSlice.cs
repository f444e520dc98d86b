using Microsoft.Extensions.Configuration;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.DependencyInjection.Extensions;
using Pourwright.Studio.Messaging;

namespace Pourwright.Studio.Recalls;

/// <summary>Registers recalls.</summary>
public static class RecallsSlice
{
    /// <summary>Settings, of the section `Recalls`: both roles read them.</summary>
    public static IServiceCollection AddRecalls(this IServiceCollection services)
    {
        services.TryAddSingleton(provider => provider.GetRequiredService<IConfiguration>().GetSection("Recalls").Get<RecallOptions>() ?? new());
        return services;
    }

    /// <summary>How often it looks: where nothing is due a look costs microseconds. Common practice, no source.</summary>
    public static SweepPlan AddRecallSweeps(this SweepPlan plan) => plan.Every<ChaseRecalls>(TimeSpan.FromMinutes(1));
}
