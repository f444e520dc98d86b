using MassTransit;
using Microsoft.Extensions.DependencyInjection;

namespace Pourwright.Studio.Messaging;

/// <summary>Registers the bus in memory, its consumers, the inbox and the relay.</summary>
public static class StudioBus
{
    /// <summary>Waits before the second, third and fourth delivery of a message that failed. Common practice, no source.</summary>
    public static readonly IReadOnlyList<TimeSpan> RetryDelays =
        [TimeSpan.FromMilliseconds(200), TimeSpan.FromSeconds(1), TimeSpan.FromSeconds(5)];

    /// <summary>Consumers are those among <paramref name="types"/>, by default all of this assembly; each has a queue named after it. Register after the store.</summary>
    public static IServiceCollection AddStudioBus(
        this IServiceCollection services, IEnumerable<Type>? types = null, IReadOnlyList<TimeSpan>? retryDelays = null)
    {
        var kinds = new MessageKinds(types ?? typeof(StudioBus).Assembly.GetTypes());
        services.AddSingleton(kinds);
        services.AddSingleton<Inbox>();
        // Published before the queues are bound, a message would be lost until the next start.
        services.AddOptions<MassTransitHostOptions>().Configure(options => options.WaitUntilStarted = true);
        services.AddMassTransit(bus => Configure(bus, kinds, retryDelays ?? RetryDelays));
        services.AddHostedService<Relay>();
        return services;
    }

    private static void Configure(IBusRegistrationConfigurator bus, MessageKinds kinds, IReadOnlyList<TimeSpan> retryDelays)
    {
        bus.DisableUsageTelemetry();
        bus.SetKebabCaseEndpointNameFormatter();
        bus.AddConsumers([.. kinds.Consumers]);
        bus.AddConfigureEndpointsCallback((_, _, endpoint) => KeepFailuresInTheOutbox(endpoint, retryDelays));
        bus.UsingInMemory((context, memory) => memory.ConfigureEndpoints(context));
    }

    /// <summary>A message that fails for good stays in its outbox row, with its error; error queues in memory would only grow.</summary>
    private static void KeepFailuresInTheOutbox(IReceiveEndpointConfigurator endpoint, IReadOnlyList<TimeSpan> retryDelays)
    {
        endpoint.UseMessageRetry(retry => retry.Intervals([.. retryDelays]));
        endpoint.DiscardFaultedMessages();
        endpoint.PublishFaults = false;
    }
}
