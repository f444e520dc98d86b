using Pourwright.Cli.Kernel;
using Pourwright.Testing;

namespace Pourwright.Journeys.Cli;

/// <summary>A mix from the wrong can and a pour into the wrong piece, put right by typing.</summary>
public sealed class CorrectionTests : IAsyncLifetime
{
    private StudioHarness _node = null!;
    private Shell _shell = null!;

    public async Task InitializeAsync()
    {
        _node = await StudioHarness.StartAsync(null, "--Node:Roles=api");
        _shell = new(_node.Channel.Target, _node.Clock);
        await SampleStudio.CreateAsync(_node);
        await SampleStudio.ReceiveLotsAsync(_node);
        await SampleStudio.ReceiveAsync(_node.Channel, SampleStudio.Deep, "deep-a2-lot", V1.Part.A, "deep-a2", 2_000_000);
        await _shell.DoAsync("mix record mix-1 --resin deep --draw deep-a1=1kg --draw deep-b1=420g --site north --by Ivo");
        foreach (var id in (string[])["7", "8"]) await _shell.DoAsync($"piece create piece-{id} --label {id} --site north");
        await _shell.DoAsync("piece pour piece-7 mix-1 700g 20mm --bench north/shelf --by Ivo");
    }

    public async Task DisposeAsync() => await _node.DisposeAsync();

    [Fact]
    public async Task Mix_CorrectedAndUndone_SaysWhatWasRecordedAndWhatIsRight()
    {
        var asked = await _shell.DoAsync("mix correct mix-1 --draw deep-a1=deep-a2:1.1kg --draw deep-b1=462g --by Ana --why 'the can beside it' --check");
        Assert.Contains("WOULD BE ACCEPTED", asked, StringComparison.Ordinal);
        Assert.DoesNotContain("deep-a2", await _shell.DoAsync("mix show mix-1"), StringComparison.Ordinal);

        await _shell.DoAsync("mix correct mix-1 --draw deep-a1=deep-a2:1.1kg --draw deep-b1=462g --by Ana --why 'the can beside it'");
        Assert.Contains("Recorded", await _shell.DoAsync("mix show mix-1"), StringComparison.Ordinal);
        var shown = await _shell.DoAsync("mix show mix-1 --json");
        foreach (var words in (string[])["1000 g of deep-a1", "1100 g of deep-a2", "462 g of deep-b1", "Ana", "the can beside it"])
            Assert.Contains(words, shown, StringComparison.Ordinal);
        Assert.Equal(ExitCodes.Refused, (await _shell.RunAsync("mix undo mix-1 --by Ana --why 'recorded twice'")).Code);
        Assert.Equal(ExitCodes.Usage, (await _shell.RunAsync("mix correct mix-1 --draw deep-a1 --by Ana --why 'the can beside it'")).Code);
    }

    [Fact]
    public async Task Pour_CorrectedThenUndone_ThenItsMixMayGo()
    {
        var recorded = await PourOfAsync("piece-7");
        Assert.Contains("stands instead", await _shell.DoAsync($"pour correct piece-7/{recorded} --piece piece-8 --depth 25mm --by Ana --why 'the mould beside it'"), StringComparison.Ordinal);
        Assert.Contains("25 mm", await _shell.DoAsync("piece show piece-8"), StringComparison.Ordinal);
        Assert.Contains("Nothing poured yet.", await _shell.DoAsync("piece show piece-7"), StringComparison.Ordinal);

        Assert.Contains("UNDONE", await _shell.DoAsync($"pour undo piece-7/{recorded} --by Ana --why 'recorded twice'"), StringComparison.Ordinal);
        Assert.Contains("UNDONE", await _shell.DoAsync("mix undo mix-1 --by Ana --why 'recorded twice'"), StringComparison.Ordinal);
    }

    private async Task<string> PourOfAsync(string piece)
    {
        var pours = await new V1.PieceService.PieceServiceClient(_node.Channel).ListPoursAsync(new() { Parent = $"{SampleStudio.Name}/pieces/{piece}" });
        return pours.Pours.Single().Name.Split('/')[^1];
    }
}
