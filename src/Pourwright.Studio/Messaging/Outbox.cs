using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Messaging;

/// <summary>A message waiting to be handed to the bus.</summary>
internal sealed record UnsentMessage(long Sequence, string MessageId, string Kind, string Body, string? TraceParent);

/// <summary>The life of an outbox row after it was saved: published, then finished; or published again.</summary>
internal static class Outbox
{
    /// <summary>Failed deliveries after which a message is given up until somebody replays it: ten rounds of four, over an hour and a half. Common practice, no source.</summary>
    public const int AttemptMost = 40;

    public static bool IsAnyUnsent(StudioSession session) => session.Scalar<long>(
        "SELECT EXISTS (SELECT 1 FROM outbox WHERE published_ms IS NULL AND finished_ms IS NULL)") == 1;

    /// <summary>Messages not yet handed to the bus, in the order of their commits.</summary>
    public static IReadOnlyList<UnsentMessage> Unsent(StudioSession session, int limit) => session.Query<UnsentMessage>(
        """
        SELECT sequence, message_id, kind, body, trace_parent FROM outbox
        WHERE published_ms IS NULL AND finished_ms IS NULL
        ORDER BY sequence LIMIT @limit
        """, new { limit });

    public static long CountUnfinished(StudioSession session) =>
        session.Scalar<long>("SELECT count(*) FROM outbox WHERE finished_ms IS NULL");

    /// <summary>Messages that the bus was handed and that have neither had their effect nor failed.</summary>
    public static long CountInFlight(StudioSession session) => session.Scalar<long>(
        """
        SELECT count(*) FROM outbox WHERE published_ms IS NOT NULL AND finished_ms IS NULL AND attempts = 0
        """);

    public static void MarkPublished(StudioTransaction transaction, IReadOnlyList<long> sequences) => transaction.Execute(
        """
        UPDATE outbox SET published_ms = @now WHERE sequence = @sequence
        """, sequences.Select(sequence => new { sequence, now = transaction.Now.ToUnixMs() }));

    public static void Finish(StudioTransaction transaction, string id) => transaction.Execute(
        """
        UPDATE outbox SET finished_ms = @now WHERE message_id = @id AND finished_ms IS NULL
        """, new { id, now = transaction.Now.ToUnixMs() });

    /// <summary>Returns the number of failed deliveries so far.</summary>
    public static long CountFailure(StudioTransaction transaction, string id, string error) => transaction.Scalar<long>(
        """
        UPDATE outbox SET attempts = attempts + 1, last_error = @error WHERE message_id = @id RETURNING attempts
        """, new { id, error });

    /// <summary>Makes unfinished messages that were published before an instant, and are not given up, unsent again; returns how many.</summary>
    public static int Reopen(StudioTransaction transaction, DateTimeOffset publishedBefore) => transaction.ExecuteCounted(
        """
        UPDATE outbox SET published_ms = NULL WHERE finished_ms IS NULL AND published_ms < @before AND attempts < @AttemptMost
        """, new { before = publishedBefore.ToUnixMs(), AttemptMost });
}
