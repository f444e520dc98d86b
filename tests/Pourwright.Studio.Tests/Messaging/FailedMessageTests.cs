using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Time.Testing;
using Pourwright.Studio.Messaging;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Testing;

namespace Pourwright.Studio.Tests.Messaging;

public sealed class FailedMessageTests : IDisposable
{
    private const string Id = "0b6f7a52-94d5-4f0e-9f5c-6a5f1b1f7a11", Name = $"failedMessages/message-{Id}";

    private readonly TestStore _store = TestStore.Create();

    public void Dispose() => _store.Dispose();

    [Fact]
    public async Task GivenUpMessage_IsSentAgainNeitherByRestartNorSweep_ThenReplayedTakesEffect()
    {
        var clock = new FakeTimeProvider();
        await InsertFailedAsync(attempts: 40);
        await using var studio = await MessagingStudio.StartAsync(_store, clock: clock);
        // The restart has handed over whatever it would before this one has its effect.
        await studio.PublishAsync("next");
        await studio.UntilAsync(s => s.Effects() is ["next"]);
        clock.Advance(2 * ReopenStuckMessages.Patience);
        await new ReopenStuckMessages(studio.Writer, NullLogger<ReopenStuckMessages>.Instance).RunAsync(CancellationToken.None);
        Assert.NotNull(studio.Outbox()[0].PublishedMs);
        Assert.True(Assert.Single(List(studio)).ToProto().GivenUp);

        await ReplayAsync(studio);
        await studio.UntilAsync(s => s.Effects() is ["next", "late"]);
        Assert.Empty(List(studio));
        Assert.Equal(Reasons.FailedMessageNotFound, (await Assert.ThrowsAsync<Refusal>(() => ReplayAsync(studio))).Reason);
    }

    [Fact]
    public async Task MessageBelowTheLimit_IsSentAgainByTheSweep()
    {
        var clock = new FakeTimeProvider();
        await using var studio = await MessagingStudio.StartAsync(_store, clock: clock);
        await InsertFailedAsync(attempts: 39);
        clock.Advance(2 * ReopenStuckMessages.Patience);
        Assert.False(Assert.Single(List(studio)).ToProto().GivenUp);
        await new ReopenStuckMessages(studio.Writer, NullLogger<ReopenStuckMessages>.Instance).RunAsync(CancellationToken.None);
        await studio.UntilAsync(s => s.Effects() is ["late"]);
    }

    /// <summary>Written by a node of its own, which is gone before anything happens.</summary>
    private async Task InsertFailedAsync(int attempts)
    {
        using var store = _store.Open();
        var writer = new Studio.Storage.StudioWriter(store, new(), TimeProvider.System, NullLogger<Studio.Storage.StudioWriter>.Instance);
        await writer.StartAsync(CancellationToken.None);
        await writer.WriteAsync(tx => tx.Execute(
            """
            INSERT INTO outbox (message_id, kind, body, created_ms, published_ms, attempts, last_error)
            VALUES (@Id, 'Happened', '{"Text":"late"}', 0, 0, @attempts, 'no room')
            """, new { Id, attempts }));
        await writer.StopAsync(CancellationToken.None);
    }

    private static Task ReplayAsync(MessagingStudio studio) =>
        studio.Writer.WriteAsync(tx => FailedMessageStore.Replay(tx, FailedMessageStore.Get(tx, Name)));

    private static IReadOnlyList<FailedMessageRow> List(MessagingStudio studio) =>
        studio.Reads.Read(session => FailedMessageStore.List(session, Paging.Read(0, "")));
}
