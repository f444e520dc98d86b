using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Messaging;

/// <summary>Drops answers no longer honoured, finished messages, and inbox rows whose message is gone.</summary>
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
            (SELECT message_id, consumer FROM inbox WHERE handled_ms < @before
             AND message_id NOT IN (SELECT message_id FROM outbox) ORDER BY handled_ms LIMIT @limit)
        """,
    ];

    public async Task RunAsync(CancellationToken ct)
    {
        foreach (var sql in Statements)
            while (await writer.WriteAsync(transaction => Forget(transaction, sql), ct) == BatchMax) { }
    }

    private static int Forget(StudioTransaction transaction, string sql) => transaction.Execute(
        sql, new { before = (transaction.Now - WriteRequests.Honoured).ToUnixMs(), limit = BatchMax });
}
