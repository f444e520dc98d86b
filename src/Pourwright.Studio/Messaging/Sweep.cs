using Microsoft.Extensions.DependencyInjection;
using Npgsql;
using Pourwright.Studio.Storage;
using Pourwright.Studio.Storage.Postgres;
using Quartz;

namespace Pourwright.Studio.Messaging;

/// <summary>Work that is done again and again: find what is due, claim it in the writer, do it. Running it twice does no more than once.</summary>
public interface ISweep
{
    Task RunAsync(CancellationToken ct);
}

/// <summary>Runs a sweep when Quartz says so; never two of one kind at a time, on whatever worker.</summary>
[DisallowConcurrentExecution]
public sealed class SweepJob<TSweep>(TSweep sweep) : IJob where TSweep : ISweep
{
    public async ValueTask Execute(IJobExecutionContext context, CancellationToken cancellationToken) =>
        await sweep.RunAsync(cancellationToken);
}

/// <summary>Which sweeps run, and how often.</summary>
public sealed class SweepPlan
{
    private readonly IServiceCollection _services;
    private readonly IQuartzBuilder _quartz;

    internal SweepPlan(IServiceCollection services, IQuartzBuilder quartz) => (_services, _quartz) = (services, quartz);

    /// <summary>Runs <typeparamref name="TSweep"/> at the start and then at each interval. Intervals missed while busy or asleep are made up by one run at once.</summary>
    public SweepPlan Every<TSweep>(TimeSpan interval) where TSweep : class, ISweep
    {
        _services.AddSingleton<TSweep>();
        _services.AddSingleton<ISweep>(provider => provider.GetRequiredService<TSweep>());
        _quartz.ScheduleJob<SweepJob<TSweep>>(
            trigger => trigger.WithIdentity(typeof(TSweep).Name).StartNow().WithSimpleSchedule(schedule => schedule
                .WithInterval(interval).RepeatForever().WithMisfireInstruction(SimpleTriggerMisfireInstruction.NowWithExistingCount)),
            job => job.WithIdentity(typeof(TSweep).Name));
        return this;
    }
}

/// <summary>Registers the studio's sweeps.</summary>
public static class StudioSweeps
{
    /// <summary>How often a worker says that it lives, and how late it may be before another takes over its sweeps. Common practice, no source.</summary>
    private static readonly TimeSpan CheckIn = TimeSpan.FromSeconds(5), CheckInLateness = TimeSpan.FromSeconds(10);

    /// <summary>Quartz on the container's TimeProvider: the database knows what is due, Quartz only when to look. In memory on a file, which one node has to itself; on a server the workers share one plan.</summary>
    public static IServiceCollection AddStudioSweeps(this IServiceCollection services, Action<SweepPlan> plan, StudioStore? store = null)
    {
        services.AddQuartz(quartz =>
        {
            if (store is PostgresStore shared) Share(quartz, shared);
            plan(new SweepPlan(services, quartz));
        });
        services.AddQuartzHostedService(options => options.WaitForJobsToComplete = true);
        return services;
    }

    private static void Share(IQuartzBuilder quartz, PostgresStore store)
    {
        quartz.ConfigureScheduler(scheduler =>
        {
            scheduler.InstanceName = "pourwright";
            scheduler.InstanceId = store.Node;
        });
        quartz.UsePersistentStore(plan =>
        {
            plan.UsePostgres(NpgsqlFactory.Instance, store.SweepConnection);
            plan.ProvisionSchema();
            plan.UseClustering(cluster => (cluster.CheckinInterval, cluster.CheckinMisfireThreshold) = (CheckIn, CheckInLateness));
        });
    }
}
