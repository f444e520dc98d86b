using Pourwright.Cli.Kernel;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Journeys.Cli;

/// <summary>Seals and the check, as typed.</summary>
public sealed class EvidenceTests : IAsyncLifetime
{
    private StudioHarness _harness = null!;
    private Shell _shell = null!;

    public async Task InitializeAsync()
    {
        _harness = await StudioHarness.StartAsync();
        _shell = new(_harness.Channel.Target, _harness.Clock);
        await SampleStudio.CreateAsync(_harness);
        await SampleStudio.ReceiveLotsAsync(_harness);
        await new PieceService.PieceServiceClient(_harness.Channel).CreatePieceAsync(
            new() { Parent = SampleStudio.Name, PieceId = "piece-7", Piece = new() { Site = SampleStudio.North, Label = "7" } });
    }

    public async Task DisposeAsync() => await _harness.DisposeAsync();

    [Fact]
    public async Task Verify_BeforeAndAfterAnEditOfTheFile_EndsWith0ThenWith4()
    {
        var seal = Path.Combine(_harness.Folder, "seal.json");
        Assert.Contains("Wrote", await _shell.DoAsync($"evidence seal --to {seal}"), StringComparison.Ordinal);
        Assert.Contains("No fault", await _shell.DoAsync($"evidence verify --seal {seal}"), StringComparison.Ordinal);

        _harness.Store.Alter("UPDATE pieces SET maker = 'somebody else'");

        var (code, output, _) = await _shell.RunAsync($"evidence verify --seal {seal}");
        Assert.Equal(ExitCodes.Faulty, code);
        Assert.Contains("pieces studios/alder/pieces/piece-7", output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Seal_ListedAndShown()
    {
        var page = await _shell.DoAsync("evidence seal");
        var name = page[page.IndexOf("seal-", StringComparison.Ordinal)..].Split('.')[0];

        Assert.Contains(name, await _shell.DoAsync("evidence list"), StringComparison.Ordinal);
        Assert.Contains("Keep this where nobody", await _shell.DoAsync($"evidence show {name}"), StringComparison.Ordinal);
        Assert.StartsWith("{\"format\":\"pourwright seal 1\"", await _shell.DoAsync($"evidence show {name} --json"), StringComparison.Ordinal);
    }
}
