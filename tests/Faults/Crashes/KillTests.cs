using Pourwright.Testing;

namespace Pourwright.Faults.Crashes;

/// <summary>
/// Goal: whatever was acknowledged survives kill -9, and nobody is reminded twice. Method: the node is killed again and again while
/// its clients go on; in the end mixes, masses, links and reminders are counted. Kill -9 leaves the kernel's pages alone: it proves
/// commit before answer, not the flush, which is for <see cref="PowerLossTests"/>.
/// </summary>
public sealed class KillTests
{
    [Theory, EveryEngine]
    public async Task KilledUnderLoad_LosesNoAcknowledgedWrite_AndRemindsNobodyTwice(string engine)
    {
        using var store = Engines.Create(engine);
        await using var node = await NodeProcess.StartAsync(store);
        var load = await MixLoad.StartAsync(node.Channel);
        var random = new Random(20260206);
        var cycles = Cycles.Of(inShort: 6, inLong: 1000);
        await using (load)
        {
            for (var kill = 0; kill < cycles; kill++)
            {
                await load.AcknowledgedAsync(random.Next(5, 60));
                load.Down();
                await node.KillAsync();
                await node.StartAgainAsync();
                load.Up();
            }
            await load.AllWarnedAsync();
        }
        Figures.AtLeast($"kill_{engine}_cycles", cycles, 1);
        Figures.AtLeast($"kill_{engine}_acknowledged", load.Mixes.Count, cycles);
        Figures.AtMost($"kill_{engine}_acknowledged_lost", await load.LostAsync(), 0);
        Figures.AtMost($"kill_{engine}_reminders_doubled", await load.DoubledAsync(), 0);
        Figures.AtMost($"kill_{engine}_links_broken", await load.BrokenLinksAsync(), 0);
    }
}
