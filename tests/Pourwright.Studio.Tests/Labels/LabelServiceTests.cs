using Grpc.Core;
using Pourwright.Studio.Refusals;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Labels;

public sealed class LabelServiceTests : IAsyncLifetime
{
    private const string Can = "studios/alder/containers/deep-a1";
    private const string River = "studios/alder/pieces/river-7";

    private StudioHarness _harness = null!;
    private V1.LabelService.LabelServiceClient _labels = null!;

    public async Task InitializeAsync()
    {
        _harness = await StudioHarness.StartAsync(null, "--Labels:Address=https://studio.example.org");
        _labels = new(_harness.Channel);
        await SampleStudio.CreateAsync(_harness);
        await SampleStudio.ReceiveLotsAsync(_harness);
        await new V1.PieceService.PieceServiceClient(_harness.Channel).CreatePieceAsync(
            new() { Parent = SampleStudio.Name, PieceId = "river-7", Piece = new() { Site = SampleStudio.North, Label = "7", Maker = "Rui" } });
    }

    public async Task DisposeAsync() => await _harness.DisposeAsync();

    [Fact]
    public async Task PrintLabels_CanAndPiece_LeadToTheirAddresses()
    {
        var pdf = await PrintAsync(Can, River);

        Assert.Equal(["https://studio.example.org/v1/studios/alder/containers/deep-a1", "https://studio.example.org/v1/studios/alder/pieces/river-7"], PrintedLabels.Codes(pdf));
        var text = PrintedLabels.Text(pdf);
        Assert.Contains("deep-a1", text, StringComparison.Ordinal);
        Assert.Contains("Part A, resin of deep", text, StringComparison.Ordinal);
        Assert.Contains("Read its safety data sheet first.", text, StringComparison.Ordinal);
        Assert.DoesNotContain("Rui", text, StringComparison.Ordinal);
    }

    /// <summary>What a phone reads off the can is answered: the address is one of the node's own.</summary>
    [Fact]
    public async Task PrintLabels_AddressOfTheCode_IsAnsweredByTheNode()
    {
        var path = new Uri(Assert.Single(PrintedLabels.Codes(await PrintAsync(Can)))).AbsolutePath;
        using var http = new HttpClient();

        Assert.Contains(Can, await http.GetStringAsync(new Uri(_harness.HttpAddress, path)), StringComparison.Ordinal);
    }

    [Fact]
    public async Task PrintLabels_StudioWithoutAnAddress_CodeHoldsTheName()
    {
        await using var harness = await StudioHarness.StartAsync();
        await SampleStudio.CreateAsync(harness);
        await SampleStudio.ReceiveLotsAsync(harness);

        var page = await new V1.LabelService.LabelServiceClient(harness.Channel).PrintLabelsAsync(new() { Parent = SampleStudio.Name, Names = { Can } });

        Assert.Equal([Can], PrintedLabels.Codes(page.Data.ToByteArray()));
    }

    [Theory]
    [InlineData("studios/alder/containers/nowhere", StatusCode.NotFound, Reasons.ContainerNotFound)]
    [InlineData("studios/alder/pieces/nowhere", StatusCode.NotFound, Reasons.PieceNotFound)]
    [InlineData("studios/alder/lots/deep-a-lot", StatusCode.InvalidArgument, Reasons.FieldInvalid)]
    [InlineData("studios/birch/containers/deep-a1", StatusCode.InvalidArgument, Reasons.FieldInvalid)]
    public async Task PrintLabels_NameThatIsNone_Refused(string name, StatusCode code, string reason)
    {
        var refusal = await Assert.ThrowsAsync<RpcException>(async () => await PrintAsync(Can, name));
        Assert.Equal((code, reason), (refusal.StatusCode, refusal.Reason()));
    }

    [Theory]
    [InlineData(0)]
    [InlineData(241)]
    public async Task PrintLabels_NoneOrTooMany_Refused(int count)
    {
        var refusal = await Assert.ThrowsAsync<RpcException>(async () => await PrintAsync([.. Enumerable.Repeat(Can, count)]));
        Assert.Contains("must be 1 to 240 names", refusal.Status.Detail, StringComparison.Ordinal);
    }

    private async Task<byte[]> PrintAsync(params string[] names) =>
        (await _labels.PrintLabelsAsync(new() { Parent = SampleStudio.Name, Names = { names } })).Data.ToByteArray();
}
