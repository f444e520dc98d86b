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
        using var http = _harness.OpenHttp();

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

    /// <summary>Can and piece have their labels while nothing is mixed: later, gloves are on.</summary>
    [Theory]
    [InlineData(Can)]
    [InlineData(River)]
    public async Task PrintLabels_BeforeAnythingIsMixed_OnePicture(string name)
    {
        Assert.Empty((await new V1.MixService.MixServiceClient(_harness.Channel).ListMixesAsync(new() { Parent = SampleStudio.Name })).Mixes);

        var body = await _labels.PrintLabelsAsync(new() { Parent = SampleStudio.Name, Names = { name }, Format = PrintLabelsRequest.Types.Format.Png, ResolutionDotsPerInch = 203 });

        Assert.Equal("image/png", body.ContentType);
        Assert.Equal($"https://studio.example.org/v1/{name}", PrintedLabels.Code(body.Data.ToByteArray()));
    }

    [Fact]
    public async Task PrintLabels_TwoNamesOnOnePicture_Refused()
    {
        var refusal = await Assert.ThrowsAsync<RpcException>(async () => await _labels.PrintLabelsAsync(
            new() { Parent = SampleStudio.Name, Names = { Can, River }, Format = PrintLabelsRequest.Types.Format.Png }));
        Assert.Contains("must be one name for a PNG", refusal.Status.Detail, StringComparison.Ordinal);
    }

    [Fact]
    public async Task ParseSupplierLabel_WholeLabel_EveryFieldAndNothingToLookAt()
    {
        var read = await ParseAsync("]d20109506000134352" + "3103005000" + "17271231" + "11260201" + "10A2602-17^2100045");

        Assert.Equal(("09506000134352", "A2602-17", "00045"), (read.Reading.Gtin, read.Reading.SupplierLotCode, read.Reading.Serial));
        Assert.Equal((new(2027, 12, 31), new(2028, 1, 1), new DateOnly(2026, 2, 1)), (Day(read.Reading.ExpiryDate), Day(read.Reading.RefuseDate), Day(read.Reading.ProductionDate)));
        Assert.Equal(5_000_000, read.Reading.NetMassMg);
        Assert.Empty(read.OtherReadings);
        Assert.Empty(read.Cautions);
    }

    /// <summary>With its FNC1 the same label has a lot and a serial; without, one long lot or both: the can decides.</summary>
    [Fact]
    public async Task ParseSupplierLabel_SeparatorLost_ShowsBothReadings()
    {
        var read = await ParseAsync("]d2010950600013435210A2602-172100045");

        Assert.Equal(("A2602-172100045", ""), (read.Reading.SupplierLotCode, read.Reading.Serial));
        var other = Assert.Single(read.OtherReadings);
        Assert.Equal(("A2602-17", "00045"), (other.SupplierLotCode, other.Serial));
        Assert.Equal(Reasons.LabelDoubtful, Assert.Single(read.Cautions).Reason);
    }

    [Fact]
    public async Task ParseSupplierLabel_LotOfTheStock_PointsItOut()
    {
        var caution = Assert.Single((await ParseAsync("(01)09506000134352(10)DEEP-A-LOT")).Cautions);
        Assert.Equal((Reasons.LotReceivedBefore, "studios/alder/lots/deep-a-lot"), (caution.Reason, caution.Facts["lots"]));
    }

    [Theory]
    [InlineData("]d2010950600013435310A", "its last digit should be 2")]
    [InlineData("A2602-17", "is no GS1 code")]
    public async Task ParseSupplierLabel_NothingToBeTaken_Refused(string text, string says)
    {
        var refusal = await Assert.ThrowsAsync<RpcException>(async () => await ParseAsync(text));
        Assert.Equal((StatusCode.InvalidArgument, Reasons.LabelUnreadable), (refusal.StatusCode, refusal.Reason()));
        Assert.Contains(says, refusal.Status.Detail, StringComparison.Ordinal);
    }

    /// <summary>A <c>^</c> stands for FNC1.</summary>
    private async Task<ParseSupplierLabelResponse> ParseAsync(string text) =>
        await _labels.ParseSupplierLabelAsync(new() { Parent = SampleStudio.Name, Text = text.Replace('^', '\u001d') });

    private static DateOnly Day(Google.Type.Date date) => new(date.Year, date.Month, date.Day);

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
