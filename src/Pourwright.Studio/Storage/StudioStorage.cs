using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.DependencyInjection.Extensions;
using Pourwright.Studio.Storage.Postgres;

namespace Pourwright.Studio.Storage;

/// <summary>Registers the studio's store.</summary>
public static class StudioStorage
{
    /// <summary>The store, its one writer on this node and its readers. Register it first: hosted services stop in reverse, and the writer must outlive all that write.</summary>
    public static IServiceCollection AddStudioStorage(this IServiceCollection services, StudioStore store)
    {
        services.TryAddSingleton(TimeProvider.System);
        // By a function, so that the container closes it.
        services.AddSingleton(_ => store);
        services.AddSingleton<CommitSignal>();
        services.AddSingleton<StudioReads>();
        services.AddSingleton<StudioWriter>();
        services.AddHostedService(provider => provider.GetRequiredService<StudioWriter>());
        if (store is PostgresStore shared)
            services.AddSingleton(shared).AddHostedService<CommitsOfOthers>();
        services.AddSingleton<WriteRequests>();
        return services;
    }
}
