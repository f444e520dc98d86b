using System.Threading.Channels;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;
using Microsoft.Extensions.Time.Testing;
using Pourwright.Studio.Messaging;

namespace Pourwright.Studio.Tests.Messaging;

public sealed class SweepTests
{
    private static readonly TimeSpan Interval = TimeSpan.FromMinutes(1);

    [Fact]
    public async Task Every_ClockAdvances_RunsAtTheStartAndAtEachInterval()
    {
        var clock = new FakeTimeProvider(new DateTimeOffset(2026, 3, 1, 12, 0, 0, TimeSpan.Zero));
        using var host = HostWith(clock);
        await host.StartAsync();
        var runs = host.Services.GetRequiredService<Broom>().Runs;
        Assert.Equal(clock.Start, await Next(runs));
        for (var i = 1; i <= 3; i++)
        {
            var due = clock.Start + i * Interval;
            Assert.False(runs.TryRead(out _));
            Assert.Equal(due, await NextWhile(runs, clock, due));
        }
        await host.StopAsync();
    }

    [Fact]
    public async Task Every_SweepThrows_RunsAgainNextTime()
    {
        var clock = new FakeTimeProvider(new DateTimeOffset(2026, 3, 1, 12, 0, 0, TimeSpan.Zero));
        using var host = HostWith(clock);
        host.Services.GetRequiredService<Broom>().Throws = true;
        await host.StartAsync();
        var runs = host.Services.GetRequiredService<Broom>().Runs;
        await Next(runs);
        Assert.Equal(clock.Start + Interval, await NextWhile(runs, clock, clock.Start + Interval));
        await host.StopAsync();
    }

    private static IHost HostWith(TimeProvider clock)
    {
        var builder = new HostApplicationBuilder(new HostApplicationBuilderSettings { DisableDefaults = true });
        builder.Logging.ClearProviders();
        builder.Services.AddSingleton(clock);
        builder.Services.AddStudioSweeps(plan => plan.Every<Broom>(Interval));
        return builder.Build();
    }

    private static async Task<DateTimeOffset> Next(ChannelReader<DateTimeOffset> runs) =>
        await runs.ReadAsync().AsTask().WaitAsync(TimeSpan.FromSeconds(60));

    /// <summary>Steps the clock up to the due instant, then lets whoever has not yet set its timer look again: a step of nothing.</summary>
    private static async Task<DateTimeOffset> NextWhile(ChannelReader<DateTimeOffset> runs, FakeTimeProvider clock, DateTimeOffset due)
    {
        if (clock.GetUtcNow() < due) clock.SetUtcNow(due);
        using var limit = new CancellationTokenSource(TimeSpan.FromSeconds(60));
        DateTimeOffset run;
        while (!runs.TryRead(out run))
        {
            limit.Token.ThrowIfCancellationRequested();
            await Task.Yield();
        }
        return run;
    }

    private sealed class Broom(TimeProvider clock) : ISweep
    {
        private readonly Channel<DateTimeOffset> _runs = Channel.CreateUnbounded<DateTimeOffset>();

        public ChannelReader<DateTimeOffset> Runs => _runs.Reader;

        public bool Throws { get; set; }

        public async Task RunAsync(CancellationToken ct)
        {
            await _runs.Writer.WriteAsync(clock.GetUtcNow(), ct);
            if (Throws) throw new InvalidOperationException("swept under the carpet");
        }
    }
}
