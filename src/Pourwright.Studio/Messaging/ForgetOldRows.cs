using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Messaging;

/// <summary>Drops what is older than a week: answers no longer honoured, finished messages, and their inbox rows.</summary>
/// <remarks>A message is finished in the write that fills its inbox row, and only unfinished ones are sent again: no inbox row is missed.</remarks>
public sealed class ForgetOldRows(StudioWriter writer) : ISweep
{
    /// <summary>Rows a write: other writes pass between two of them.</summary>
    private const int BatchMax = 1000;

    private static readonly string[] Statements =
    [
        """
        DELETE FROM requests_seen WHERE (method, request_id) IN
            (SELECT method, request_id FROM requests_seen WHERE seen_ms < @before ORDER BY seen_ms LIMIT @limit)
        """,
        """
        DELETE FROM outbox WHERE sequence IN
            (SELECT sequence FROM outbox WHERE finished_ms < @before ORDER BY finished_ms LIMIT @limit)
        """,
        """
        DELETE FROM inbox WHERE (message_id, consumer) IN
            (SELECT message_id, consumer FROM inbox WHERE handled_ms < @before ORDER BY handled_ms LIMIT @limit)
        """,
    ];

    public async Task RunAsync(CancellationToken ct)
    {
        foreach (var sql in Statements)
            while (await writer.WriteAsync(transaction => Forget(transaction, sql), ct) == BatchMax) { }
    }

    private static int Forget(StudioTransaction transaction, string sql) => transaction.ExecuteCounted(
        sql, new { before = (transaction.Now - WriteRequests.Honoured).ToUnixMs(), limit = BatchMax });
}
