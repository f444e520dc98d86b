using Pourwright.Testing;

namespace Pourwright.Faults.Crashes;

/// <summary>
/// Goal: no reply leaves before its bytes are flushed. Method: native code sees each mix's name go into the log, the flush after it,
/// and the name leave through a socket; the order of the three is what counts. Without flushes every reply must be told as early.
/// </summary>
public sealed class SyncBeforeReplyTests : IDisposable
{
    private readonly TestStore _store = TestStore.OnFile();
    private readonly FaultyDisk _disk;

    public SyncBeforeReplyTests()
    {
        _disk = new(_store);
        _disk.WatchReplies();
    }

    public void Dispose()
    {
        _disk.Dispose();
        _store.Dispose();
    }

    [PreloadFact]
    public async Task Replies_LeaveAfterTheFlushOfTheirBytes()
    {
        var acknowledged = await RunAsync(Cycles.Of(inShort: 300, inLong: 20_000));
        var replies = _disk.Replies();
        Figures.AtLeast("replies_seen_share", replies.Select(reply => reply.Receipt).Distinct().Count() / (double)acknowledged, 0.99);
        Figures.AtMost("replies_before_their_flush", replies.Count(reply => !reply.IsKept), 0);
    }

    [PreloadFact]
    public async Task Replies_LogNeverFlushed_AreAllEarly()
    {
        _disk.NeverFlushLog();
        await RunAsync(50);
        Assert.DoesNotContain(_disk.Replies(), reply => reply.IsKept);
    }

    private async Task<int> RunAsync(int count)
    {
        await using var node = await _disk.StartNodeAsync("--Node:Roles=api");
        var load = await MixLoad.StartAsync(node.Channel, pours: false);
        await using (load) await load.AcknowledgedAsync(count);
        return load.Mixes.Count;
    }
}
