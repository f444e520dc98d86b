using Pourwright.Studio.Lots;
using Pourwright.Testing;
using Pourwright.V1;
using Level = Pourwright.V1.HoldSistersRequest.Types.Level;

namespace Pourwright.Studio.Tests.Recalls;

/// <summary>Sisters are held first; causes are argued after.</summary>
public sealed class HoldTests : IAsyncLifetime
{
    private const string Defect = "studios/alder/defects/dent";
    private readonly RecallStudio _studio = new();

    public async Task InitializeAsync()
    {
        await _studio.InitializeAsync();
        await _studio.MixAsync("second");
        await _studio.PourAsync("oak", "mia", "", "second");
        await new V1.DefectService.DefectServiceClient(_studio.Harness.Channel).ReportDefectAsync(new()
        {
            Parent = SampleStudio.Name, DefectId = "dent", Defect = new() { Piece = RecallStudio.Piece("maple"), Kind = V1.Defect.Types.Kind.Soft, Finder = "Asa" },
        });
    }

    public Task DisposeAsync() => _studio.DisposeAsync();

    // Walnut shares the mix and is with its maker: it can only be told of.
    [Fact]
    public async Task HoldSisters_OfTheMix_HoldsThoseInTheHouseOnce()
    {
        var first = await HoldAsync(Level.Mix);
        var again = await HoldAsync(Level.Mix);

        Assert.Equal([RecallStudio.Piece("cherry"), RecallStudio.Piece("maple")], first.Pieces);
        Assert.Equal([RecallStudio.Piece("walnut")], first.HandedOver);
        Assert.Empty(first.Lots);
        Assert.Equal((0, 2), (again.Pieces.Count, again.Unchanged.Count));
        Assert.Equal(2, _studio.Count("piece_holds"));
        Assert.Equal(Lot.Types.State.Released, (await LotAsync()).State);
    }

    [Fact]
    public async Task HoldSisters_OfTheLot_HoldsTheOtherMixAndTheLots()
    {
        var held = await HoldAsync(Level.Lot);

        Assert.Equal(["cherry", "maple", "oak"], held.Pieces.Select(piece => piece.Split('/')[^1]));
        Assert.Equal(["deep-a-lot", "deep-b-lot"], held.Lots.Select(lot => lot.Split('/')[^1]));
        Assert.Equal(["deep-a1", "deep-b1"], held.Stock.Select(stock => stock.Container.Split('/')[^1]));
        Assert.All(held.Stock, stock => Assert.True(stock.Held));
        Assert.Equal("LOT_HELD", await Refused.ByAsync(() => _studio.MixAsync("third")));
    }

    [Fact]
    public async Task HandOver_OfAHeldPiece_IsRefused_AndWithANoteRecorded()
    {
        await HoldAsync(Level.Mix);

        Assert.Equal("PIECE_HELD", await Refused.ByAsync(() => _studio.StepAsync("cherry", Step.Types.Kind.HandOver)));
        var given = await _studio.StepAsync("cherry", Step.Types.Kind.HandOver, "taken along before the call came");

        Assert.Contains(given.Cautions, caution => caution.Reason == "PIECE_HELD");
        Assert.Equal(Piece.Types.State.HandedOver, (await PieceAsync("cherry")).State);
    }

    [Fact]
    public async Task Readiness_OfAHeldPiece_SaysSo()
    {
        await HoldAsync(Level.Mix);

        var ready = await new V1.ForecastService.ForecastServiceClient(_studio.Harness.Channel).GetReadinessAsync(new() { Name = RecallStudio.Piece("maple") });

        Assert.True(ready.Held);
        Assert.Equal("shares a mix with a piece that is soft all through (dent)", ready.HoldReason);
    }

    [Fact]
    public async Task Release_OfOneCause_LeavesWhatAnotherHolds()
    {
        await HoldAsync(Level.Lot);
        await _studio.StartAsync();

        var free = await ReleaseAsync();

        Assert.Empty(free.Pieces);
        Assert.Equal(["cherry", "maple", "oak", "deep-a-lot"], free.Unchanged.Select(name => name.Split('/')[^1]));
        Assert.Equal(["deep-b-lot"], free.Lots.Select(lot => lot.Split('/')[^1]));
        Assert.True((await PieceAsync("oak")).Held);
        Assert.Equal(Lot.Types.State.Held, (await LotAsync()).State);
    }

    [Fact]
    public async Task Release_OfALotThatAPersonHeldBefore_LeavesIt()
    {
        await _studio.Lots.HoldLotAsync(new() { Name = RecallStudio.LotA, Reason = "crystals" });
        await HoldAsync(Level.Lot);

        var free = await ReleaseAsync();

        Assert.Equal(["deep-b-lot"], free.Lots.Select(lot => lot.Split('/')[^1]));
        Assert.Equal("crystals", (await LotAsync()).HoldReason);
        Assert.False((await PieceAsync("oak")).Held);
    }

    [Fact]
    public async Task HoldPiece_ByAPerson_StandsBesideOtherCauses()
    {
        await _studio.Pieces.HoldPieceAsync(new() { Name = RecallStudio.Piece("oak"), Reason = "scratched", Person = "Asa" });
        await HoldAsync(Level.Lot);
        await ReleaseAsync();
        Assert.Equal("scratched", (await PieceAsync("oak")).HoldReason);

        var free = await _studio.Pieces.ReleasePieceAsync(new() { Name = RecallStudio.Piece("oak"), Reason = "polished", Person = "Asa" });

        Assert.False(free.Held);
        Assert.Equal("PIECE_HANDED_OVER", await Refused.ByAsync(async () =>
            await _studio.Pieces.HoldPieceAsync(new() { Name = RecallStudio.Piece("walnut"), Reason = "too late", Person = "Asa" })));
    }

    // A can is suspect, its lot is not: the can is held, a new can of the lot would stay free.
    [Fact]
    public async Task Recall_OfACan_HoldsTheCanAndNotItsLot()
    {
        await _studio.Recalls.StartRecallAsync(new() { Parent = SampleStudio.Name, Scope = new() { Name = SampleStudio.DeepA }, Reason = "smells of solvent", Starter = "Ana" });

        var can = await _studio.Lots.GetContainerAsync(new() { Name = SampleStudio.DeepA });
        Assert.True(can.Held);
        Assert.Contains("smells of solvent", can.HoldReason, StringComparison.Ordinal);
        Assert.Equal(Lot.Types.State.Released, (await LotAsync()).State);
    }

    [Fact]
    public async Task CloseRecall_OfALotThatAPersonHeldSince_LeavesIt()
    {
        await _studio.StartAsync();
        await HoldLotAsync("supplier says stop");

        await CloseRecallAsync();

        Assert.Equal((Lot.Types.State.Held, "supplier says stop"), await StateAsync());
        Assert.Equal("LOT_HELD", await Refused.ByAsync(() => _studio.MixAsync("third")));
    }

    [Fact]
    public async Task ReleaseLot_WhileARecallHoldsIt_StaysHeldForTheRecall()
    {
        await HoldLotAsync("crystals");
        await _studio.StartAsync();
        Assert.Equal("crystals", (await LotAsync()).HoldReason);

        var (held, again) = (await ReleaseLotAsync(), await ReleaseLotAsync());

        Assert.Equal(Lot.Types.State.Held, held.State);
        Assert.Contains("soft pieces", held.HoldReason, StringComparison.Ordinal);
        Assert.Equal(held, again);
        Assert.Equal("LOT_HELD", await Refused.ByAsync(() => _studio.MixAsync("third")));
        await CloseRecallAsync();
        Assert.Equal((Lot.Types.State.Released, ""), await StateAsync());
    }

    [Fact]
    public async Task ReleaseLot_AfterEveryOtherCause_LeavesNothingBehind()
    {
        await HoldLotAsync("crystals");
        await HoldAsync(Level.Lot);
        await ReleaseAsync();
        await ReleaseLotAsync();

        await _studio.StartAsync();
        await CloseRecallAsync();

        Assert.Equal(Lot.Types.State.Released, (await LotAsync()).State);
    }

    [Fact]
    public async Task ReleaseContainer_WhileARecallHoldsIt_StaysHeldForTheRecall()
    {
        await _studio.Recalls.StartRecallAsync(new()
        {
            Parent = SampleStudio.Name, RecallId = "recall-1", Scope = new() { Name = SampleStudio.DeepA }, Reason = "smells of solvent", Starter = "Ana",
        });
        var mine = await _studio.Lots.HoldContainerAsync(new() { Name = SampleStudio.DeepA, Reason = "dented" });
        var held = await _studio.Lots.ReleaseContainerAsync(new() { Name = SampleStudio.DeepA, Reason = "no leak" });

        Assert.Equal((true, "dented", true), (mine.Held, mine.HoldReason, held.Held));
        Assert.Contains("smells of solvent", held.HoldReason, StringComparison.Ordinal);
        await CloseRecallAsync();
        Assert.False((await _studio.Lots.GetContainerAsync(new() { Name = SampleStudio.DeepA })).Held);
    }

    [Fact]
    public async Task HoldLot_OfAHeldLot_ChangesItsReasonAndHoldsOnce()
    {
        await HoldLotAsync("crystals");
        await HoldLotAsync("crystals, and cloudy");
        Assert.Equal((Lot.Types.State.Held, "crystals, and cloudy"), await StateAsync());

        Assert.Equal(Lot.Types.State.Released, (await ReleaseLotAsync()).State);
    }

    // A hold of before they had rows.
    [Fact]
    public void HoldStock_HeldByAPersonWithoutARow_KeepsThatAsACauseOfItsOwn()
    {
        var change = HoldStock.Hold("lot", new(true, "crystals"), [], new("recall", "soft", "Ana", 7));

        Assert.Equal([("", "crystals"), ("recall", "soft")], change.Rows.Select(row => (row.Cause, row.Reason)));
        Assert.Null(change.Becomes);
    }

    private async Task HoldLotAsync(string reason) => await _studio.Lots.HoldLotAsync(new() { Name = RecallStudio.LotA, Reason = reason });

    private async Task<Lot> ReleaseLotAsync() => await _studio.Lots.ReleaseLotAsync(new() { Name = RecallStudio.LotA, Reason = "clear again" });

    private async Task CloseRecallAsync() => await _studio.Recalls.CloseRecallAsync(new()
    {
        Name = $"{SampleStudio.Name}/recalls/recall-1", Outcome = "the others are hard", Closer = "Ana", Release = true,
    });

    private async Task<(Lot.Types.State State, string Reason)> StateAsync() => await LotAsync() is var lot ? (lot.State, lot.HoldReason) : default;

    private async Task<SisterHolds> HoldAsync(Level level) => await _studio.Recalls.HoldSistersAsync(new() { Name = Defect, Level = level, Person = "Asa" });

    private async Task<SisterHolds> ReleaseAsync() => await _studio.Recalls.ReleaseSistersAsync(new() { Name = Defect, Reason = "all hard", Person = "Asa" });

    private async Task<Piece> PieceAsync(string id) => await _studio.Pieces.GetPieceAsync(new() { Name = RecallStudio.Piece(id) });

    private async Task<Lot> LotAsync() => await _studio.Lots.GetLotAsync(new() { Name = RecallStudio.LotA });
}
