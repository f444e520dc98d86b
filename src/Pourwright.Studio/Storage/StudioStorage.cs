using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.DependencyInjection.Extensions;

namespace Pourwright.Studio.Storage;

/// <summary>Registers the studio's store.</summary>
public static class StudioStorage
{
    /// <summary>The store at <paramref name="path"/>, its one writer and its readers. Register it first: hosted services stop in reverse, and the writer must outlive all that write.</summary>
    public static IServiceCollection AddStudioStorage(this IServiceCollection services, string path)
    {
        services.TryAddSingleton(TimeProvider.System);
        services.AddSingleton(new StudioStore(path));
        services.AddSingleton<CommitSignal>();
        services.AddSingleton<StudioReads>();
        services.AddSingleton<StudioWriter>();
        services.AddHostedService(provider => provider.GetRequiredService<StudioWriter>());
        services.AddSingleton<WriteRequests>();
        return services;
    }
}
