using Pourwright.Studio.Lots;
using Pourwright.V1;
using State = Pourwright.V1.Container.Types.State;

namespace Pourwright.Studio.Tests.Lots;

public sealed class KeepContainerTests
{
    private const long NowMs = 1_000_000;

    [Fact]
    public void WeighBack_AboveTheBook_IsKeptAsNegativeUnexplained()
    {
        var change = KeepContainer.WeighBack(LotRows.Container("can", Part.A).Container, discarded: false, 1_000_250, NowMs);

        // Unexplained mass is what is missing: -(+250 mg).
        Assert.Equal((1_000_250L, 250L), (change.Container.RemainingMassMg, change.Events.Single().MassMg));
    }

    [Theory]
    [InlineData(0, State.Spent)]
    [InlineData(1, State.Open)]
    public void WeighBack_ToNothing_IsSpent(long measuredMassMg, State expected) => Assert.Equal(
        expected, KeepContainer.WeighBack(LotRows.Container("can", Part.A).Container, false, measuredMassMg, NowMs).Container.State);

    [Fact]
    public void WeighBack_OfWhatOnlyTheBookCallsSpent_BringsItBack()
    {
        var spent = LotRows.Container("can", Part.A).Container with { RemainingMassMg = 0, State = State.Spent };

        var back = KeepContainer.WeighBack(spent, discarded: false, 40_000, NowMs).Container;

        Assert.Equal((State.Open, 40_000L), (back.State, back.RemainingMassMg));
    }

    [Fact]
    public void Move_ToAnotherZone_TakesTheExpiryDateAtItsMidnight()
    {
        var can = LotRows.Container("can", Part.A) with { Lots = [LotRows.Lot("lot", Part.A, "2026-06-01")] };

        var lisbon = KeepContainer.Move(can.With(c => c with { Site = "elsewhere" }), LotRows.North, NowMs, null).Container;
        var berlin = KeepContainer.Move(can, LotRows.Site("south", "Europe/Berlin"), NowMs, null).Container;

        // Midnight comes to Berlin (UTC+2 in June) one hour before Lisbon (UTC+1).
        Assert.Equal(3_600_000, lisbon.ExpireMs - berlin.ExpireMs);
    }
}
