using MassTransit;
using Microsoft.Extensions.Time.Testing;
using Pourwright.Studio.Messaging;
using Pourwright.Studio.Storage;
using Pourwright.Testing;

namespace Pourwright.Studio.Tests.Messaging;

public sealed class OutboxTests : IDisposable
{
    private readonly TestStore _store = TestStore.Create();

    public void Dispose() => _store.Dispose();

    [Fact]
    public async Task Publish_BeforeTheCommit_IsNotDelivered_ThenIs()
    {
        await using var studio = await MessagingStudio.StartAsync(_store);
        var delivered = new TaskCompletionSource();
        studio.Script.Before = _ =>
        {
            delivered.SetResult();
            return Task.CompletedTask;
        };
        using var gate = new ManualResetEventSlim();
        var published = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
        var write = studio.Writer.WriteAsync(t =>
        {
            t.Publish(new Happened("pour"));
            published.SetResult();
            gate.Wait();
        });
        await published.Task;
        Assert.Empty(studio.Outbox());
        Assert.False(delivered.Task.IsCompleted);
        gate.Set();
        await write;
        await delivered.Task.WaitAsync(TimeSpan.FromSeconds(60));
        await studio.UntilAsync(s => s.Effects() is ["pour"]);
    }

    [Fact]
    public async Task Publish_RolledBack_IsNeverDelivered_WhileTheNextIs()
    {
        await using var studio = await MessagingStudio.StartAsync(_store);
        await Assert.ThrowsAsync<InvalidOperationException>(() => studio.Writer.WriteAsync(t =>
        {
            t.Publish(new Happened("undone"));
            throw new InvalidOperationException();
        }));
        await studio.PublishAsync("done");
        await studio.UntilAsync(s => s.Effects().Count > 0 && s.Outbox().All(row => row.FinishedMs is not null));
        Assert.Equal(["done"], studio.Effects());
        Assert.Single(studio.Outbox());
    }

    [Fact]
    public async Task Relay_ManyMessages_EachHasOneEffectAndIsFinished()
    {
        await using var studio = await MessagingStudio.StartAsync(_store);
        // More than two batches of the relay.
        await Task.WhenAll(Enumerable.Range(0, 600).Select(i => studio.PublishAsync($"{i}")));
        await studio.UntilAsync(s => s.Outbox().All(row => row.FinishedMs is not null && row.PublishedMs is not null));
        Assert.Equal(Enumerable.Range(0, 600).Select(i => $"{i}").Order(), studio.Effects().Order());
    }

    [Fact]
    public async Task Relay_ManyMessages_HandsThemOverInTheOrderOfTheirCommits()
    {
        await using var studio = await MessagingStudio.StartAsync(_store);
        var order = new PublishOrder();
        using var observer = studio.Get<IBusControl>().ConnectPublishObserver(order);
        await Task.WhenAll(Enumerable.Range(0, 600).Select(i => studio.PublishAsync($"{i}")));
        await studio.UntilAsync(s => s.Outbox().All(row => row.FinishedMs is not null && row.PublishedMs is not null));
        Assert.Equal(studio.Outbox().Select(row => row.MessageId), order.Ids);
    }

    [Fact]
    public async Task Relay_ConsumersStand_LeavesTheBacklogOnDisk_ThenCatchesUp()
    {
        using var gate = new SemaphoreSlim(0);
        await using var studio = await MessagingStudio.StartAsync(_store, new ConsumerScript { Before = _ => gate.WaitAsync() });
        await studio.Writer.WriteAsync(t =>
        {
            for (var i = 0; i < 3000; i++) t.Publish(new Happened($"{i}"));
        });
        // 4 batches of 256 are in flight, then the relay waits; every commit wakes it, and it still waits.
        await studio.UntilAsync(s => s.Outbox().Count(row => row.PublishedMs is not null) == 1024);
        for (var i = 0; i < 100; i++) await studio.PublishAsync("one more");
        Assert.Equal(1024, studio.Outbox().Count(row => row.PublishedMs is not null));
        gate.Release(3100);
        await studio.UntilAsync(s => s.Outbox().All(row => row.FinishedMs is not null));
        Assert.Equal(3100, studio.Effects().Count);
    }

    [Fact]
    public async Task Relay_MoreFailedMessagesThanTheBusMayHold_StillHandsOverTheNext()
    {
        await using var studio = await MessagingStudio.StartAsync(_store);
        await studio.Writer.WriteAsync(t => t.Execute(
            "INSERT INTO outbox (message_id, kind, body, created_ms, published_ms, attempts) VALUES (@id, 'Happened', '{}', 0, 0, 3)",
            Enumerable.Range(0, 1100).Select(i => new { id = $"failed {i}" })));
        await studio.PublishAsync("next");
        await studio.UntilAsync(s => s.Effects() is ["next"]);
    }

    [Fact]
    public async Task Consume_DeliveredAgain_HasOneEffect()
    {
        await using var studio = await MessagingStudio.StartAsync(_store);
        var consumed = new ConsumeCount(3);
        using var observer = studio.Get<IBusControl>().ConnectConsumeObserver(consumed);
        await studio.PublishAsync("once");
        await studio.UntilAsync(s => s.Effects().Count == 1);
        var id = Guid.Parse(studio.Outbox()[0].MessageId);
        for (var i = 0; i < 2; i++)
            await studio.Get<IBus>().Publish(new Happened("once"), context => context.MessageId = id);
        await consumed.Reached.WaitAsync(TimeSpan.FromSeconds(60));
        Assert.Equal(["once"], studio.Effects());
    }

    [Fact]
    public async Task HandleOnceAsync_TwoDeliveriesDecideAtOnce_OneIsSaved()
    {
        await using var studio = await MessagingStudio.StartAsync(_store);
        using var bothDecide = new Barrier(2);
        var id = Guid.NewGuid();
        await Task.WhenAll(Deliver("first"), Deliver("second"));
        Assert.Single(studio.Effects());

        Task Deliver(string text) => Task.Run(() => studio.Get<Inbox>().HandleOnceAsync(id, "WriteDown", ct =>
        {
            bothDecide.SignalAndWait(ct);
            return Task.FromResult<Action<StudioTransaction>>(t => t.Execute("INSERT INTO effects (text) VALUES (@text)", new { text }));
        }, CancellationToken.None));
    }

    [Fact]
    public async Task HandleOnceAsync_SaveThrows_LeavesNoInboxRow_SoTheNextDeliveryTakesEffect()
    {
        await using var studio = await MessagingStudio.StartAsync(_store);
        var id = Guid.NewGuid();
        await Assert.ThrowsAsync<InvalidOperationException>(() => Deliver(_ => throw new InvalidOperationException()));
        Assert.Empty(studio.Effects());
        await Deliver(t => t.Execute("INSERT INTO effects (text) VALUES ('second')"));
        Assert.Equal(["second"], studio.Effects());

        Task Deliver(Action<StudioTransaction> save) =>
            studio.Get<Inbox>().HandleOnceAsync(id, "WriteDown", _ => Task.FromResult(save), CancellationToken.None);
    }

    [Fact]
    public async Task Poison_AfterItsRetries_StaysUnfinishedWithItsErrorAndBlocksNobody()
    {
        await using var studio = await MessagingStudio.StartAsync(_store, FailOn("poison"));
        await studio.PublishAsync("poison");
        await studio.PublishAsync("good");
        // One delivery and two retries.
        await studio.UntilAsync(s => s.Effects() is ["good"] && s.Outbox()[0].Attempts == 3);
        var poison = studio.Outbox()[0];
        Assert.Null(poison.FinishedMs);
        Assert.Equal("poison cannot be digested", poison.LastError);
    }

    [Fact]
    public async Task Restart_UnfinishedMessage_IsPublishedAgain()
    {
        await using (var first = await MessagingStudio.StartAsync(_store, FailOn("late")))
        {
            await first.PublishAsync("late");
            await first.UntilAsync(s => s.Outbox() is [{ Attempts: 3, PublishedMs: not null }]);
            Assert.Empty(first.Effects());
        }
        await using var second = await MessagingStudio.StartAsync(_store);
        await second.UntilAsync(s => s.Outbox() is [{ FinishedMs: not null }]);
        Assert.Equal(["late"], second.Effects());
    }

    [Fact]
    public async Task Restart_FinishedMessage_IsNotPublishedAgain()
    {
        await using (var first = await MessagingStudio.StartAsync(_store))
        {
            await first.PublishAsync("done");
            await first.UntilAsync(s => s.Outbox() is [{ FinishedMs: not null }]);
        }
        List<string> delivered = [];
        var script = new ConsumerScript { Before = m => { delivered.Add(m.Text); return Task.CompletedTask; } };
        await using var second = await MessagingStudio.StartAsync(_store, script);
        await second.PublishAsync("new");
        await second.UntilAsync(s => s.Outbox().All(row => row.FinishedMs is not null));
        Assert.Equal(["new"], delivered);
        Assert.Equal(["done", "new"], second.Effects());
    }

    [Fact]
    public async Task ReopenStuckMessages_BeforeAndAfterItsPatience_SendsAgainOnlyAfter()
    {
        var clock = new FakeTimeProvider();
        var script = FailOn("stuck");
        await using var studio = await MessagingStudio.StartAsync(_store, script, clock);
        await studio.PublishAsync("stuck");
        await studio.UntilAsync(s => s.Outbox() is [{ Attempts: 3, PublishedMs: not null }]);
        script.Before = _ => Task.CompletedTask;
        var sweep = new ReopenStuckMessages(studio.Writer, Microsoft.Extensions.Logging.Abstractions.NullLogger<ReopenStuckMessages>.Instance);

        await sweep.RunAsync(CancellationToken.None);
        Assert.NotNull(studio.Outbox()[0].PublishedMs);
        Assert.Empty(studio.Effects());

        clock.Advance(ReopenStuckMessages.Patience + TimeSpan.FromMilliseconds(1));
        await sweep.RunAsync(CancellationToken.None);
        await studio.UntilAsync(s => s.Effects() is ["stuck"]);
    }

    [Fact]
    public async Task Relay_KindWithoutConsumer_StaysWithItsErrorAndBlocksNobody()
    {
        await using var studio = await MessagingStudio.StartAsync(_store);
        await studio.Writer.WriteAsync(t => t.Publish(new Unheard(1)));
        await studio.PublishAsync("good");
        await studio.UntilAsync(s => s.Effects() is ["good"]);
        Assert.Equal((1, "No consumer in this build takes Unheard."), (studio.Outbox()[0].Attempts, studio.Outbox()[0].LastError));
    }

    [Fact]
    public async Task ForgetOldRows_AfterAWeek_DropsWhatIsFinished_NotBefore()
    {
        var clock = new FakeTimeProvider();
        await using var studio = await MessagingStudio.StartAsync(_store, FailOn("unfinished"), clock);
        await studio.PublishAsync("unfinished");
        await studio.PublishAsync("finished");
        await studio.Writer.WriteAsync(t => t.Execute("INSERT INTO requests_seen VALUES ('m', 'r', @bytes, @bytes, @now)", new { bytes = new byte[1], now = t.Now.ToUnixMs() }));
        await studio.UntilAsync(s => s.Outbox() is [{ Attempts: 3 }, { FinishedMs: not null }]);

        clock.Advance(WriteRequests.Honoured);
        await new ForgetOldRows(studio.Writer).RunAsync(CancellationToken.None);
        Assert.Equal((1, 2, 1), Counts());

        clock.Advance(TimeSpan.FromMilliseconds(1));
        await new ForgetOldRows(studio.Writer).RunAsync(CancellationToken.None);
        Assert.Equal((0, 1, 0), Counts());

        (long, long, long) Counts() => studio.Reads.Read(r => (
            r.Scalar<long>("SELECT count(*) FROM requests_seen"), r.Scalar<long>("SELECT count(*) FROM outbox"), r.Scalar<long>("SELECT count(*) FROM inbox")));
    }

    [Fact]
    public void MessageKinds_TwoConsumersOfOneKind_AreRefused() =>
        Assert.Throws<InvalidOperationException>(() => new MessageKinds([typeof(WriteDown), typeof(SecondTaker)]));

    private static ConsumerScript FailOn(string text) => new()
    {
        Before = m => m.Text == text ? throw new InvalidOperationException($"{text} cannot be digested") : Task.CompletedTask,
    };

    private sealed record Unheard(int Number);

    private sealed class SecondTaker(Inbox inbox) : InboxConsumer<Happened>(inbox)
    {
        protected override Task<Action<StudioTransaction>> HandleAsync(Happened message, CancellationToken ct) =>
            Task.FromResult<Action<StudioTransaction>>(_ => { });
    }

    private sealed class PublishOrder : IPublishObserver
    {
        public List<string> Ids { get; } = [];

        public Task PrePublish<T>(PublishContext<T> context) where T : class
        {
            Ids.Add($"{context.MessageId}");
            return Task.CompletedTask;
        }

        public Task PostPublish<T>(PublishContext<T> context) where T : class => Task.CompletedTask;

        public Task PublishFault<T>(PublishContext<T> context, Exception exception) where T : class => Task.CompletedTask;
    }

    /// <summary>Tells when a number of deliveries has been consumed, whatever they did.</summary>
    private sealed class ConsumeCount(int expected) : IConsumeObserver
    {
        private readonly TaskCompletionSource _reached = new(TaskCreationOptions.RunContinuationsAsynchronously);
        private int _count;

        public Task Reached => _reached.Task;

        public Task PreConsume<T>(ConsumeContext<T> context) where T : class => Task.CompletedTask;

        public Task PostConsume<T>(ConsumeContext<T> context) where T : class
        {
            if (Interlocked.Increment(ref _count) == expected) _reached.SetResult();
            return Task.CompletedTask;
        }

        public Task ConsumeFault<T>(ConsumeContext<T> context, Exception exception) where T : class => Task.CompletedTask;
    }
}
