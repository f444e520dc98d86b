using System.Text.Json.Nodes;
using Pourwright.Cli.Kernel;
using Pourwright.Testing;

namespace Pourwright.Journeys.Cli;

/// <summary>Suppliers' labels in, records out, typed into the command line against a real node.</summary>
public sealed class LabelAndExportTests : IAsyncLifetime
{
    private const string Receive = "--part a --resin deep --site north --can can-a9=5kg";

    private StudioHarness _node = null!;

    public async Task InitializeAsync()
    {
        _node = await StudioHarness.StartAsync(null, "--Node:Roles=api", "--Labels:Address=https://studio.example.org");
        await SampleStudio.CreateAsync(_node);
        await SampleStudio.ReceiveLotsAsync(_node);
    }

    public async Task DisposeAsync() => await _node.DisposeAsync();

    [Fact]
    public async Task Scan_WithoutACan_OnlyReads()
    {
        var said = await Shell().DoAsync("lot scan '(01)09506000134352(10)A2602-17(17)271231'");

        Assert.Matches("Lot +A2602-17", said);
        Assert.Matches("Refused from +2028-01-01", said);
        Assert.DoesNotContain("A2602-17", await Shell().DoAsync("lot list"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Scan_AnsweredYes_TakesTheLotIn()
    {
        var said = await Shell("yes\n").DoAsync($"lot scan '(01)09506000134352(10)A2602-17(17)271231' lot-a9 {Receive}");

        Assert.Contains("Does the can say lot A2602-17?", said, StringComparison.Ordinal);
        Assert.Matches("GTIN +09506000134352", await Shell().DoAsync("lot show lot-a9"));
        Assert.Contains("CAUTION: Lot A2602-17 came in before", await Shell().DoAsync($"lot scan '(01)09506000134352(10)A2602-17' lot-b9 --yes {Receive.Replace("a9", "b9", StringComparison.Ordinal)}"), StringComparison.Ordinal);
    }

    /// <summary>Of two readings a person picks one; a script that says yes to both is not heard.</summary>
    [Fact]
    public async Task Scan_TwoReadings_TakesTheOneChosen()
    {
        const string text = "'<GS>010950600013435210A2602-172100045'";
        var (code, _, error) = await Shell().RunAsync($"lot scan {text} lot-a9 --yes {Receive}");
        Assert.Equal(ExitCodes.Usage, code);
        Assert.Contains("may be read in 2 ways", error, StringComparison.Ordinal);

        var said = await Shell("2\n").DoAsync($"lot scan {text} lot-a9 {Receive}");
        Assert.Contains("Which does the can say? 1 to 2", said, StringComparison.Ordinal);
        Assert.Matches("Code on the can +A2602-17\\s", await Shell().DoAsync("lot show lot-a9"));
    }

    [Theory]
    [InlineData(null)]
    [InlineData("no\n")]
    [InlineData("\n")]
    public async Task Scan_NotConfirmed_TakesNothingIn(string? answers)
    {
        var (code, _, error) = await Shell(answers).RunAsync($"lot scan '(01)09506000134352(10)A2602-17' lot-a9 {Receive}");

        Assert.Equal(ExitCodes.Usage, code);
        Assert.Contains("Nothing was taken in.", error, StringComparison.Ordinal);
        Assert.DoesNotContain("lot-a9", await Shell().DoAsync("lot list"), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("epcis", "epcisBody")]
    [InlineData("prov", "wasGeneratedBy")]
    public async Task Export_Json_IsWrittenWhole(string verb, string member)
    {
        var path = Path.Combine(_node.Folder, "records.json");

        var said = await Shell().DoAsync($"export {verb} --lot deep-a-lot --to {path}");

        Assert.Contains($"Wrote {path}: 2 events", said, StringComparison.Ordinal);
        Assert.NotNull(JsonNode.Parse(await File.ReadAllTextAsync(path))![member]);
        Assert.False(File.Exists($"{path}.part"));
    }

    [Fact]
    public async Task Export_SheetOfATimeWithoutRecords_LeavesTheOldFile()
    {
        var path = Path.Combine(_node.Folder, "records.csv");
        await Shell().DoAsync($"export csv --to {path}");
        var before = await File.ReadAllTextAsync(path);

        var (code, _, error) = await Shell().RunAsync($"export csv --until 2020-01-01 --to {path}");

        Assert.Equal(ExitCodes.Refused, code);
        Assert.Contains("NOTHING_TO_EXPORT", error, StringComparison.Ordinal);
        Assert.Equal(before, await File.ReadAllTextAsync(path));
        Assert.StartsWith("event_id,", before, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Label_OfAPng_IsWritten()
    {
        var path = Path.Combine(_node.Folder, "can.png");
        await Shell().DoAsync($"label print --container deep-a1 --to {path} --dpi 203");
        Assert.Equal("PNG"u8.ToArray(), (await File.ReadAllBytesAsync(path))[1..4]);
    }

    private Shell Shell(string? answers = null) => new(_node.Channel.Target, _node.Clock, answers);
}
