using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Messaging;

/// <summary>Brings the worker to rest: every saved message has had its effect and every sweep has found nothing more to do.</summary>
/// <remarks>For whoever plays with the clock, the demo and the tests; a running node needs it nowhere.</remarks>
public sealed class QuietWorker(StudioReads reads, CommitSignal commits, IEnumerable<ISweep> sweeps)
{
    public async Task SettleAsync(CancellationToken ct = default)
    {
        await DrainAsync(ct);
        foreach (var sweep in sweeps) await sweep.RunAsync(ct);
        await DrainAsync(ct);
    }

    /// <summary>Waits until every saved message has had its effect; no sweep is run.</summary>
    public async Task DrainAsync(CancellationToken ct = default)
    {
        while (true)
        {
            var next = commits.NextAsync(ct);
            if (reads.Read(Outbox.CountUnfinished) == 0) return;
            await next;
        }
    }
}
