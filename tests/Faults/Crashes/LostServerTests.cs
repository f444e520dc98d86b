using Pourwright.Testing;

namespace Pourwright.Faults.Crashes;

/// <summary>Goal: a database server that drops its nodes, as it does when it restarts, costs them a moment and nothing else. Method: under load every connection is ended again and again; the node must go on by itself.</summary>
public sealed class LostServerTests
{
    [ServerFact]
    public async Task ConnectionsEndedUnderLoad_NodeGoesOn_AndLosesNothing()
    {
        using var store = TestStore.OnServer();
        await using var node = await NodeProcess.StartAsync(store);
        var load = await MixLoad.StartAsync(node.Channel);
        var random = new Random(20260211);
        var cycles = Cycles.Of(inShort: 10, inLong: 1000);
        await using (load)
        {
            for (var cycle = 0; cycle < cycles; cycle++)
            {
                await load.AcknowledgedAsync(random.Next(5, 60));
                store.KillConnections();
            }
            await load.AcknowledgedAsync(20);
            await load.AllWarnedAsync();
        }
        Figures.AtLeast("lost_server_cycles", cycles, 1);
        Figures.AtMost("lost_server_acknowledged_lost", await load.LostAsync(), 0);
        Figures.AtMost("lost_server_reminders_doubled", await load.DoubledAsync(), 0);
        Figures.AtMost("lost_server_links_broken", await load.BrokenLinksAsync(), 0);
    }
}
