using Pourwright.Testing;

namespace Pourwright.Faults.Crashes;

/// <summary>
/// Goal: whatever was acknowledged survives the loss of power. Method: the node is killed under load and its file set back to what was
/// flushed, with some of the other sectors of 512 bytes, drawn at random, as a disk may write them in any order and tear pages
/// between them; then the node starts on that. A disk that never flushes the log must be caught losing.
/// </summary>
public sealed class PowerLossTests : IDisposable
{
    private const int CyclesToCatch = 10;

    private readonly TestStore _store = TestStore.OnFile();
    private readonly FaultyDisk _disk;
    private readonly Random _random = new(20260207);

    public PowerLossTests() => _disk = new(_store);

    public void Dispose()
    {
        _disk.Dispose();
        _store.Dispose();
    }

    [PreloadFact]
    public async Task PowerCutUnderLoad_LosesNoAcknowledgedWrite_AndTheFileIsSound()
    {
        await using var node = await _disk.StartNodeAsync();
        var load = await MixLoad.StartAsync(node.Channel);
        var cycles = Cycles.Of(inShort: 5, inLong: 1000);
        var (lost, unsound) = (0, 0);
        await using (load)
        {
            for (var cut = 0; cut < cycles; cut++)
            {
                lost += (await CutAsync(node, load)).Count;
                unsound += StudioFile.Faults(_store.Address).Count > 0 ? 1 : 0;
                await StartAgainAsync(node, load);
            }
            await load.AllWarnedAsync();
        }
        Figures.AtLeast("power_cut_cycles", cycles, 1);
        Figures.AtLeast("power_cut_acknowledged", load.Mixes.Count, cycles);
        Figures.AtMost("power_cut_acknowledged_lost", lost + await load.LostAsync(), 0);
        Figures.AtMost("power_cut_files_unsound", unsound, 0);
        Figures.AtMost("power_cut_reminders_doubled", await load.DoubledAsync(), 0);
    }

    [PreloadFact]
    public async Task PowerCut_LogNeverFlushed_LosesAcknowledgedWritesWithinTenCycles()
    {
        _disk.NeverFlushLog();
        await using var node = await _disk.StartNodeAsync("--Node:Roles=api");
        await using var load = await MixLoad.StartAsync(node.Channel, pours: false);
        var (lost, cycle) = (0, 0);
        while (lost == 0 && cycle++ < CyclesToCatch)
        {
            lost = (await CutAsync(node, load)).Count;
            if (lost > 0) break;
            await StartAgainAsync(node, load);
        }
        Figures.AtMost("power_cut_unflushed_log_caught_in_cycle", lost > 0 ? cycle : double.PositiveInfinity, CyclesToCatch);
    }

    private async Task StartAgainAsync(NodeProcess node, MixLoad load)
    {
        _disk.KeepAsIs();
        await node.StartAgainAsync();
        load.Up();
    }

    /// <summary>Which acknowledged mixes are gone after it.</summary>
    private async Task<IReadOnlyList<string>> CutAsync(NodeProcess node, MixLoad load)
    {
        await load.AcknowledgedAsync(_random.Next(5, 60));
        load.Down();
        await node.KillAsync();
        _disk.CutPower(_random);
        return StudioFile.Missing(_store.Address, [.. load.Mixes]);
    }
}
