using MassTransit;
using Microsoft.Extensions.Configuration;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.DependencyInjection.Extensions;
using Microsoft.Extensions.Hosting;
using Pourwright.Studio;
using Pourwright.Studio.Messaging;
using Pourwright.Studio.Reminders;
using Pourwright.Studio.Reminders.Channels;
using Pourwright.Studio.Storage;

namespace Pourwright.Faults.Simulation;

/// <summary>A node of real parts on a simulated store, bus and post: its services, writer, relay, consumers and sweeps. Nothing of it runs until it is called.</summary>
/// <param name="isAlone">The only node, with its bus in its memory; else one of several with a broker.</param>
internal sealed class SimulatedNode(SimulatedWorld world, string name, string file, bool isAlone)
{
    /// <summary>One at a time, so that the order of what is kept does not hang on threads.</summary>
    private static readonly ReminderOptions Options = new() { Delivery = new() { BatchMax = 1 } };

    private ServiceProvider _services = null!;

    public SimulatedWorld World => world;

    public string Name => name;

    public bool IsDead { get; set; }

    /// <summary>Its store has failed for good: its writer ends, and then the node would.</summary>
    public bool IsEnding { get; set; }

    public StudioWriter Writer => Get<StudioWriter>();

    public StudioReads Reads => Get<StudioReads>();

    public Task RelayAsync() => Relay.RelayUnsentAsync(CancellationToken.None);

    private Relay Relay => _services.GetServices<IHostedService>().OfType<Relay>().Single();

    public T Get<T>() where T : notnull => _services.GetRequiredService<T>();

    public ISweep Sweep(Type type) => (ISweep)_services.GetRequiredService(type);

    public T Make<T>() => ActivatorUtilities.CreateInstance<T>(_services);

    public async Task StartAsync()
    {
        IsDead = IsEnding = false;
        var services = new ServiceCollection();
        var store = new SimulatedStore(file, this);
        services.AddLogging().AddMetrics();
        services.AddSingleton<IConfiguration>(new ConfigurationBuilder().Build());
        services.AddSingleton<TimeProvider>(world.Clock);
        services.AddSingleton<IHostApplicationLifetime>(new Lifetime());
        services.AddStudioStorage(store).AddStudioSettings().AddStudioWorker(store, new(isAlone ? null : new Uri("amqp://simulated")));
        services.AddSingleton(Options).AddSingleton(world.Bus.Of(this));
        services.RemoveAll<IReminderChannel>().AddSingleton<IReminderChannel>(new Mailbox(this));
        services.RemoveAll<IHostedService>().AddSingleton<IHostedService, Relay>();
        _services = services.BuildServiceProvider();
        await Writer.StartAsync(CancellationToken.None);
        if (!isAlone) return;
        world.Bus.Waiting.Clear();
        await Relay.ReopenAsync(CancellationToken.None);
    }

    /// <summary>Hands a message to its consumer.</summary>
    public Task ConsumeAsync(BusMessage message)
    {
        var consumer = Get<MessageKinds>().Consumers.Single(type => typeof(IConsumer<>).MakeGenericType(message.Body.GetType()).IsAssignableFrom(type));
        var delivery = SimulatedBus.Delivery(message);
        return (Task)consumer.GetMethod(nameof(IConsumer<object>.Consume))!.Invoke(ActivatorUtilities.CreateInstance(_services, consumer), [delivery])!;
    }

    /// <summary>All that it had in memory is gone.</summary>
    public async Task EndAsync()
    {
        // A dead node's writer ends at the first thing it tries; a sound one finishes.
        await Writer.StopAsync(CancellationToken.None).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        await _services.DisposeAsync();
    }

    /// <summary>A node whose writer has stopped for good is ended by whoever plays.</summary>
    private sealed class Lifetime : IHostApplicationLifetime
    {
        public CancellationToken ApplicationStarted => CancellationToken.None;

        public CancellationToken ApplicationStopping => CancellationToken.None;

        public CancellationToken ApplicationStopped => CancellationToken.None;

        public void StopApplication() { }
    }

    private sealed class Mailbox(SimulatedNode node) : IReminderChannel
    {
        public string Channel => EmailChannel.Name;

        public Task<DeliveryOutcome> SendAsync(ReminderRecord reminder, string address, DateTimeOffset attempted, CancellationToken ct)
        {
            if (node.World.Reach(node, Point.Post) || IsLost()) return Task.FromResult(DeliveryOutcome.Failed("The post is away."));
            node.World.Posts.Add(new(reminder.Name, address, reminder.State, node.World.WasInterleaved));
            var isAnswerLost = node.World.Reach(node, Point.Posted) || IsLost();
            return Task.FromResult(isAnswerLost ? DeliveryOutcome.Failed("The answer was lost.") : DeliveryOutcome.Delivered);
        }

        private bool IsLost() => node.World.IsStormy && node.World.Random.Next(4) == 0;
    }
}
