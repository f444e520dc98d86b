using Microsoft.Extensions.Logging;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Messaging;

/// <summary>Sends again what was handed to the bus a while ago and had no effect since: a message that failed, or one that was lost with its broker.</summary>
public sealed class ReopenStuckMessages(StudioWriter writer, ILogger<ReopenStuckMessages> logger) : ISweep
{
    /// <summary>Far longer than a delivery with all its retries. Common practice, no source.</summary>
    public static readonly TimeSpan Patience = TimeSpan.FromMinutes(10);

    public async Task RunAsync(CancellationToken ct)
    {
        var count = await writer.WriteAsync(transaction => Outbox.Reopen(transaction, transaction.Now - Patience), ct);
        if (count > 0) logger.LogWarning("{Count} messages had no effect within {Patience}; they are sent again.", count, Patience);
    }
}
