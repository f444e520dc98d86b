using Microsoft.Extensions.Logging;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Messaging;

/// <summary>Lets a message take effect once, however often it is delivered.</summary>
public sealed class Inbox(StudioReads reads, StudioWriter writer, ILogger<Inbox> logger)
{
    /// <summary>Decides outside the writer, then saves the decision, the inbox row and the end of the outbox row in one write.</summary>
    public async Task HandleOnceAsync(
        Guid messageId, string consumer, Func<CancellationToken, Task<Action<StudioTransaction>>> decide, CancellationToken ct)
    {
        var delivery = new Delivery(messageId.ToString(), consumer);
        if (reads.Read(reading => IsHandled(reading, delivery))) return;
        var save = await decide(ct);
        await writer.WriteAsync(transaction => SaveOnce(transaction, delivery, save), ct);
    }

    /// <summary>Counts a failed delivery on the outbox row and keeps its error, so that the message neither vanishes nor blocks.</summary>
    public async Task RecordFailureAsync(Guid messageId, string consumer, Exception error)
    {
        var attempts = await writer.WriteAsync(transaction => Outbox.CountFailure(transaction, messageId.ToString(), error.Message));
        logger.LogWarning(error, "{Consumer} failed on message {MessageId}, attempt {Attempts}.", consumer, messageId, attempts);
        if (attempts == Outbox.AttemptMost) logger.LogError("Message {MessageId} is given up; find and settle its cause, then replay it.", messageId);
    }

    private static void SaveOnce(StudioTransaction transaction, Delivery delivery, Action<StudioTransaction> save)
    {
        if (Enter(transaction, delivery)) save(transaction);
        Outbox.Finish(transaction, delivery.Id);
    }

    private static bool Enter(StudioTransaction transaction, Delivery delivery) => transaction.ExecuteCounted(
        """
        INSERT INTO inbox (message_id, consumer, handled_ms) VALUES (@Id, @Consumer, @now) ON CONFLICT DO NOTHING
        """,
        new { delivery.Id, delivery.Consumer, now = transaction.Now.ToUnixMs() }) == 1;

    private static bool IsHandled(StudioSession session, Delivery delivery) => session.Scalar<long>(
        """
        SELECT count(*) FROM inbox WHERE message_id = @Id AND consumer = @Consumer
        """, delivery) == 1;

    private sealed record Delivery(string Id, string Consumer);
}
