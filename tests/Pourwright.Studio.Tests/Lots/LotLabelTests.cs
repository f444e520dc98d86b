using Grpc.Core;
using Pourwright.Studio.Refusals;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Lots;

/// <summary>Lots taken in by their labels, on GTIN 09506000134352 of GS1's example prefix.</summary>
public sealed class LotLabelTests : IAsyncLifetime
{
    private const string Label = "(01)09506000134352(10)A2602-17(17)271231";

    private StudioHarness _harness = null!;
    private V1.LotService.LotServiceClient _lots = null!;

    public async Task InitializeAsync()
    {
        _harness = await StudioHarness.StartAsync();
        _lots = new(_harness.Channel);
        await SampleStudio.CreateAsync(_harness);
    }

    public async Task DisposeAsync() => await _harness.DisposeAsync();

    /// <summary>The last day of use is the last of 2027: the first of 2028 is refused.</summary>
    [Fact]
    public async Task ReceiveLot_LabelComparedWithTheCan_IsKeptWithItsGtinAndExpiry()
    {
        var name = (await ReceiveAsync(Label, "A2602-17", confirmed: true)).Name;
        var lot = await _lots.GetLotAsync(new() { Name = name });

        Assert.Equal((Label, "09506000134352"), (lot.LabelText, lot.Gtin));
        Assert.Equal((2028, 1, 1), (lot.ExpiryDate.Year, lot.ExpiryDate.Month, lot.ExpiryDate.Day));
        Assert.Empty(lot.Cautions);
        var container = (await _lots.ListContainersAsync(new() { Parent = SampleStudio.Name })).Containers.Single();
        Assert.Equal(new DateTimeOffset(2028, 1, 1, 0, 0, 0, TimeSpan.Zero), container.ExpireTime.ToDateTimeOffset());
    }

    [Theory]
    [InlineData(Label, "A2602-17", false, StatusCode.FailedPrecondition, Reasons.LabelUnconfirmed)]
    [InlineData(Label, "A2602-18", true, StatusCode.FailedPrecondition, Reasons.LabelMismatch)]
    [InlineData("(01)09506000134353(10)A2602-17", "A2602-17", true, StatusCode.InvalidArgument, Reasons.LabelUnreadable)]
    [InlineData("(01)09506000134352\u0007", "A2602-17", true, StatusCode.InvalidArgument, Reasons.FieldInvalid)]
    public async Task ReceiveLot_LabelThatNobodyComparedOrThatSaysAnother_RefusedAndNothingKept(string label, string code, bool confirmed, StatusCode status, string reason)
    {
        var refusal = await Assert.ThrowsAsync<RpcException>(async () => await ReceiveAsync(label, code, confirmed));
        Assert.Equal((status, reason), (refusal.StatusCode, refusal.Reason()));
        Assert.Empty((await _lots.ListLotsAsync(new() { Parent = SampleStudio.Name })).Lots);
    }

    /// <summary>The separator was lost: either lot may be the one on the can, and what was doubtful stays noted.</summary>
    [Theory]
    [InlineData("A2602-172100045")]
    [InlineData("A2602-17")]
    public async Task ReceiveLot_LotThatSwallowedASerial_TakesTheOneOnTheCan(string code)
    {
        var lot = await ReceiveAsync("]d2010950600013435210A2602-172100045", code, confirmed: true);
        Assert.Equal((code, Reasons.LabelDoubtful), (lot.SupplierLotCode, Assert.Single(lot.Cautions).Reason));
    }

    [Fact]
    public async Task ReceiveLot_ExpiryOtherThanTheLabels_KeepsWhatWasSaidAndPointsItOut()
    {
        var lot = await ReceiveAsync(Label, "A2602-17", confirmed: true, expires: new() { Year = 2029, Month = 1, Day = 1 });
        Assert.Equal(2029, lot.ExpiryDate.Year);
        Assert.Equal("The label refuses it from 2028-01-01 on, the record from 2029-01-01 on. Compare it with the can.", Assert.Single(lot.Cautions).Text);
    }

    /// <summary>Not a refusal: a second delivery of a lot is common. With two GTINs one code is two lots.</summary>
    [Fact]
    public async Task ReceiveLot_SameSupplierLotAgain_IsPointedOut()
    {
        Assert.Empty((await ReceiveAsync(Label, "A2602-17", confirmed: true)).Cautions);
        var again = await ReceiveAsync("", "A2602-17", confirmed: false);
        var other = await ReceiveAsync("(01)09506000134369(10)A2602-17", "A2602-17", confirmed: true);

        Assert.Equal(
            (Reasons.LotReceivedBefore, "Lot A2602-17 came in before: 5000 g as lot-1. A further delivery is in order; one delivery recorded twice would be counted twice."),
            (Assert.Single(again.Cautions).Reason, again.Cautions[0].Text));
        Assert.Equal("5000 g as lot-2", Assert.Single(other.Cautions).Text.Split(": ")[1].Split('.')[0]);
    }

    private int _count;

    private async Task<Lot> ReceiveAsync(string label, string code, bool confirmed, Google.Type.Date? expires = null) => await _lots.ReceiveLotAsync(new()
    {
        Parent = SampleStudio.Name,
        LotId = $"lot-{++_count}",
        LabelConfirmed = confirmed,
        Lot = new() { Part = Part.A, ResinSystem = SampleStudio.Deep, SupplierLotCode = code, LabelText = label, ExpiryDate = expires },
        Containers = { new ContainerReceipt { Site = SampleStudio.North, ReceivedMassMg = 5_000_000 } },
    });
}
