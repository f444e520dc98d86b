using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;
using Microsoft.Extensions.Time.Testing;
using Pourwright.Studio.Messaging;
using Pourwright.Studio.Storage;
using Pourwright.Testing;

namespace Pourwright.Studio.Tests.Messaging;

/// <summary>A node with store, bus in memory and relay, on a fake clock.</summary>
public sealed class MessagingStudio : IAsyncDisposable
{
    private readonly IHost _host;

    private MessagingStudio(TestStore store, ConsumerScript script, FakeTimeProvider clock, Action<IServiceCollection>? more)
    {
        Script = script;
        Clock = clock;
        var builder = new HostApplicationBuilder(new HostApplicationBuilderSettings { DisableDefaults = true });
        builder.Logging.ClearProviders();
        builder.Services.AddSingleton<TimeProvider>(clock);
        builder.Services.AddSingleton(script);
        builder.Services.AddStudioStorage(store.Open());
        builder.Services.AddStudioBus(new(null), [typeof(WriteDown)], retryDelays: [TimeSpan.Zero, TimeSpan.Zero]);
        more?.Invoke(builder.Services);
        _host = builder.Build();
    }

    public ConsumerScript Script { get; }

    public FakeTimeProvider Clock { get; }

    public StudioWriter Writer => Get<StudioWriter>();

    public StudioReads Reads => Get<StudioReads>();

    public static async Task<MessagingStudio> StartAsync(
        TestStore store, ConsumerScript? script = null, FakeTimeProvider? clock = null, Action<IServiceCollection>? more = null)
    {
        var studio = new MessagingStudio(store, script ?? new ConsumerScript(), clock ?? new FakeTimeProvider(), more);
        await studio._host.StartAsync();
        await studio.Writer.WriteAsync(t => t.Execute($"CREATE TABLE IF NOT EXISTS effects (number {store.NumberColumn}, text TEXT NOT NULL)"));
        return studio;
    }

    public T Get<T>() where T : notnull => _host.Services.GetRequiredService<T>();

    public Task PublishAsync(string text) => Writer.WriteAsync(t => t.Publish(new Happened(text)));

    public IReadOnlyList<string> Effects() => Reads.Read(r => r.Query<string>("SELECT text FROM effects ORDER BY number"));

    public IReadOnlyList<OutboxRow> Outbox() => Reads.Read(r => r.Query<OutboxRow>(
        "SELECT message_id, published_ms, finished_ms, attempts, last_error FROM outbox ORDER BY sequence"));

    /// <summary>Waits, commit by commit, until the store shows <paramref name="what"/>.</summary>
    public async Task UntilAsync(Func<MessagingStudio, bool> what)
    {
        using var limit = new CancellationTokenSource(TimeSpan.FromSeconds(60));
        while (true)
        {
            var next = Get<CommitSignal>().NextAsync(limit.Token);
            if (what(this)) return;
            await next;
        }
    }

    public async ValueTask DisposeAsync()
    {
        await _host.StopAsync();
        _host.Dispose();
    }
}

public sealed record OutboxRow(string MessageId, long? PublishedMs, long? FinishedMs, long Attempts, string? LastError);

public sealed record Happened(string Text);

/// <summary>What the consumer does in a test.</summary>
public sealed class ConsumerScript
{
    /// <summary>Runs before the decision; may wait or throw.</summary>
    public Func<Happened, Task> Before { get; set; } = _ => Task.CompletedTask;
}

/// <summary>The effect of a message: one row.</summary>
public sealed class WriteDown(Inbox inbox, ConsumerScript script) : InboxConsumer<Happened>(inbox)
{
    protected override async Task<Action<StudioTransaction>> HandleAsync(Happened message, CancellationToken ct)
    {
        await script.Before(message);
        return transaction => transaction.Execute("INSERT INTO effects (text) VALUES (@Text)", message);
    }
}
