using Pourwright.Studio.Names;
using Pourwright.Studio.Tests.Lots;
using Pourwright.V1;
using static Pourwright.Studio.Tests.Lots.RecallDrill;

namespace Pourwright.Studio.Tests.Trace;

/// <summary>What the trace must answer in the recall drill: pieces and people forward, lots backward, every gram.</summary>
public sealed class TraceDrillTests(RecallDrill drill) : IClassFixture<RecallDrill>
{
    private readonly V1.TraceService.TraceServiceClient _traces = new(drill.Harness.Channel);

    [Theory]
    [InlineData("A-101")]
    [InlineData("A-102")]
    [InlineData("B-55")]
    [InlineData("B-56")]
    [InlineData("P-7")]
    public async Task Lot_Forward_ReachesItsPiecesMixesStockAndPeople(string lot)
    {
        var expected = Expected["forward"]![lot]!;
        var trace = await _traces.TraceLotAsync(new() { Name = LotName(lot) });

        Assert.Equal(Codes(expected["pieces"]!), trace.Pieces.Select(piece => Code(piece.Piece.Name)));
        Assert.Equal(Codes(expected["notify"]!), trace.Pieces.Select(piece => piece.Piece.Maker));
        Assert.Equal(Codes(expected["mixes"]!), trace.Mixes.Select(mix => Code(mix.Name)).Order());
        Assert.Equal(
            expected["hold"]!.AsArray().Select(held => ($"{held!["lot"]}", (long)held["grams"]! * 1000)),
            trace.Containers.Where(container => container.RemainingMassMg > 0).Select(container => (Code(container.Name), container.RemainingMassMg)));
    }

    [Theory]
    [InlineData("PC-1")]
    [InlineData("PC-2")]
    [InlineData("PC-3")]
    [InlineData("PC-4")]
    [InlineData("PC-5")]
    [InlineData("PC-6")]
    [InlineData("PC-7")]
    public async Task Piece_Backward_ReachesItsMixesContainersAndLots(string piece)
    {
        var expected = Expected["backward"]![piece]!;
        var trace = await _traces.TracePieceAsync(new() { Name = Name(ResourceKind.Piece, piece) });
        var draws = trace.Pours.SelectMany(pour => pour.Draws).ToList();

        Assert.Equal(Codes(expected["mixes"]!), trace.Pours.Select(pour => Code(pour.Mix.Name)).Distinct());
        Assert.Equal(Codes(expected["direct"]!), draws.Select(draw => Code(draw.Draw.Container)).Distinct().Order());
        // The file counts the tank among the lots; here it is a container.
        Assert.Equal(
            Codes(expected["all"]!).Except(["A-TANK-1"]),
            draws.SelectMany(draw => draw.Lots).Select(lot => Code(lot.Name)).Distinct().Order());
    }

    [Theory]
    [InlineData("A-101")]
    [InlineData("A-102")]
    [InlineData("B-55")]
    [InlineData("B-56")]
    [InlineData("P-7")]
    public async Task Lot_Account_ClosesExactlyAndIsUnexplainedWithinTheDrillsTolerance(string lot)
    {
        var expected = Expected["lotBalance"]!.AsArray().Single(balance => $"{balance!["lot"]}" == lot)!;
        var account = (await _traces.TraceLotAsync(new() { Name = LotName(lot) })).Account;

        Assert.Equal((long)expected["received_g"]! * 1000, account.ReceivedMassMg);
        Assert.Equal(
            account.ReceivedMassMg,
            account.PouredMassMg + account.MixedMassMg + account.DiscardedMassMg + account.RemainingMassMg + account.UnexplainedMassMg);
        Assert.InRange(account.UnexplainedMassMg, 0, (long)((double)expected["tolerance_g"]! * 1000));
    }

    [Fact]
    public async Task Lot_ThroughTheTank_HasItsShareOfTheTanksLossAndStock()
    {
        var account = (await _traces.TraceLotAsync(new() { Name = LotName("A-102") })).Account;

        // The tank was filled with 2000 g of A-101 and 10000 g of A-102, so 5/6 of everything in it are A-102:
        // of the loss of 50 g 41.667 g, and of the 7950 g left 6625 g.
        Assert.Equal(41_667, account.UnexplainedMassMg);
        Assert.Equal(6_625_000, account.RemainingMassMg);
    }

    [Fact]
    public async Task Mixes_PouredAndThrownAway_LeaveNothing()
    {
        var trace = await _traces.TraceLotAsync(new() { Name = LotName("A-101") });

        Assert.Equal(0, trace.Account.MixedMassMg);
        Assert.All(trace.Mixes, mix => Assert.Equal(0, mix.RemainingMassMg));
    }
}
