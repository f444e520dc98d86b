using Grpc.Core;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Journeys.Cli;

/// <summary>Who did what, as typed.</summary>
public sealed class AuditTests : IAsyncLifetime
{
    private StudioHarness _harness = null!;
    private Shell _shell = null!;

    public async Task InitializeAsync()
    {
        _harness = await StudioHarness.StartAsync();
        _shell = new(_harness.Channel.Target, _harness.Clock);
        await SampleStudio.CreateAsync(_harness);
    }

    public async Task DisposeAsync() => await _harness.DisposeAsync();

    [Fact]
    public async Task List_ShowsWhatWasDone_AndWithDeniedOnlyWhatWasNot()
    {
        using var keyless = _harness.OpenChannel(null);
        await Assert.ThrowsAsync<RpcException>(() => new PieceService.PieceServiceClient(keyless).GetPieceAsync(new() { Name = $"{SampleStudio.Name}/pieces/piece-7" }).ResponseAsync);

        var all = await _shell.DoAsync("audit list --json");
        var denied = await _shell.DoAsync("audit list --denied");
        var site = await _shell.DoAsync($"audit list --what CreateSite --about {SampleStudio.North}");

        Assert.Contains("\"CreateStudio\"", all, StringComparison.Ordinal);
        Assert.Contains("no good key", denied, StringComparison.Ordinal);
        Assert.Contains("GetPiece", denied, StringComparison.Ordinal);
        Assert.DoesNotContain("CreateS", denied, StringComparison.Ordinal);
        Assert.Contains("DONE", site, StringComparison.Ordinal);
        Assert.DoesNotContain("south", site, StringComparison.Ordinal);
    }
}
