using Pourwright.Testing;

namespace Pourwright.Journeys.Cli;

/// <summary>What a class needs, typed against a real node. The clock stands at Friday 6 February 2026, 09:00 in Lisbon.</summary>
public sealed class NeedTests : IAsyncLifetime
{
    private StudioHarness _node = null!;
    private Shell _shell = null!;

    public async Task InitializeAsync()
    {
        _node = await StudioHarness.StartAsync();
        _shell = new(_node.Channel.Target, _node.Clock);
        await SampleStudio.CreateAsync(_node);
        await SampleStudio.ReceiveLotsAsync(_node);
        await SampleTeaching.CreateAsync(_node.Channel);
        await _shell.DoAsync("class create trays -n 'Trays in February' --offering tray --at north --from 2026-02-16 --until 2026-02-28");
        await _shell.DoAsync("class schedule trays --pour '2026-02-18 10:00' --machine '2026-02-26 09:00' --instructor ana --site north");
    }

    public async Task DisposeAsync() => await _node.DisposeAsync();

    [Fact]
    public async Task Need_OfAClass_IsShownBatchByBatch()
    {
        var need = await _shell.DoAsync("need class trays");
        Assert.Contains("Resin of trays", need, StringComparison.Ordinal);
        Assert.Contains("into 1.20 L", need, StringComparison.Ordinal);
        Assert.Contains("seal coat, pieces 1 to 8", need, StringComparison.Ordinal);
        Assert.Contains("layer 1, pieces 4 to 6", need, StringComparison.Ordinal);
    }

    // Not short, then short: a hold takes the only hardener.
    [Fact]
    public async Task Stock_AfterAHold_IsShort()
    {
        Assert.Contains("deep-b1", await _shell.DoAsync("need lots"), StringComparison.Ordinal);
        Assert.Contains("Nothing runs short.", await _shell.DoAsync("need short"), StringComparison.Ordinal);
        Assert.Contains("MISSES", await _shell.DoAsync("need lot deep-b-lot"), StringComparison.Ordinal);

        await _shell.DoAsync("lot hold deep-b-lot 'soft pieces'");

        var found = await _shell.DoAsync("need short --lead 7d");
        Assert.Contains("2026-02-11", found, StringComparison.Ordinal);
        Assert.DoesNotContain("LATE", found, StringComparison.Ordinal);
        Assert.Contains("2026-02-04: LATE", await _shell.DoAsync("need short"), StringComparison.Ordinal);
        Assert.Contains("trays", await _shell.DoAsync("need lot deep-b-lot"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Sheets_AreShownAndSaved()
    {
        Assert.Contains("BATCH 1 OF 4", await _shell.DoAsync("need sheet mix trays"), StringComparison.Ordinal);
        Assert.Contains("HEARING PROTECTION", await _shell.DoAsync("need sheet run trays"), StringComparison.Ordinal);
        var file = Path.Combine(_node.Folder, "mix.pdf");
        Assert.Contains("Wrote ", await _shell.DoAsync($"need sheet mix trays --to '{file}'"), StringComparison.Ordinal);
        Assert.Equal("%PDF", System.Text.Encoding.ASCII.GetString(await File.ReadAllBytesAsync(file), 0, 4));
    }
}
