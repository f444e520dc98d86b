using Pourwright.Testing;

namespace Pourwright.Faults.Crashes;

/// <summary>
/// Goal: a flush that fails is never answered by "kept". Method: under load some flush fails with EIO and its bytes are lost, while the
/// next would succeed. Where it was that of a commit the node must end by itself with exit code 1; where it was that of the log being
/// folded into the file nothing hangs on it, for the log has all of it still: the node ends at a later commit, or was killed before. The
/// power is cut as well then, and every acknowledged mix must be there.
/// </summary>
public sealed class FlushErrorTests
{
    [PreloadFact]
    public async Task FlushFails_NodeEndsWithOne_AndNothingAcknowledgedIsLost()
    {
        using var store = TestStore.OnFile();
        using var disk = new FaultyDisk(store);
        await using var node = await disk.StartNodeAsync();
        var load = await MixLoad.StartAsync(node.Channel);
        var random = new Random(20260208);
        var cycles = Cycles.Of(inShort: 4, inLong: 500);
        var (ended, otherCodes, falselyAcknowledged) = (0, 0, 0);
        await using (load)
            for (var cycle = 0; cycle < cycles; cycle++)
            {
                await load.AcknowledgedAsync(random.Next(5, 20));
                disk.FailSync(random.Next(1, 20));
                if (await GoesOnAsync(node, load, disk)) await node.KillAsync();
                else
                {
                    ended++;
                    otherCodes += await node.EndAsync() == 1 ? 0 : 1;
                }
                load.Down();
                disk.CutPower(random);
                falselyAcknowledged += StudioFile.Missing(store.Address, [.. load.Mixes]).Count;
                disk.KeepAsIs();
                await node.StartAgainAsync();
                load.Up();
            }
        Figures.AtLeast("flush_error_injections", cycles, 1);
        Figures.AtLeast("flush_error_nodes_ended", ended, 1);
        Figures.AtMost("flush_error_other_exit_codes", otherCodes, 0);
        Figures.AtMost("flush_error_falsely_acknowledged", falselyAcknowledged + await load.LostAsync(), 0);
        Figures.AtMost("flush_error_links_broken", await load.BrokenLinksAsync(), 0);
    }

    /// <summary>True where the flush has failed and a hundred mixes more were acknowledged; false where the node has ended.</summary>
    private static async Task<bool> GoesOnAsync(NodeProcess node, MixLoad load, FaultyDisk disk)
    {
        while (!disk.HasFailedSync)
            if (await EndsBeforeAsync(node, load, 1)) return false;
        return !await EndsBeforeAsync(node, load, 100);
    }

    private static async Task<bool> EndsBeforeAsync(NodeProcess node, MixLoad load, int mixes) =>
        await Task.WhenAny(node.Ended, load.AcknowledgedAsync(mixes)) == node.Ended;
}
