using CsCheck;
using Pourwright.Studio.Trace;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Trace;

public sealed class LotSharesTests
{
    [Fact]
    public void Draw_ContainerOfOneLot_IsThatLotAlone()
    {
        var shares = Replay([Received("can", "lot-a", 1000), Mixed("can", "mix", 300)], new MixOutflow("mix", "piece", 200));

        // 1000 = 200 in the piece + 100 left in the vessel + 700 in the can.
        Assert.Equal(
            new MassAccount { ReceivedMassMg = 1000, PouredMassMg = 200, MixedMassMg = 100, RemainingMassMg = 700 },
            shares.AccountOf("lot-a"));
    }

    [Fact]
    public void Draw_ToppedUpTank_HoldsBothLotsInProportion()
    {
        var shares = Replay(
            [
                Received("old", "lot-a", 1000), Received("new", "lot-b", 3000),
                .. TopUp("new", into: "old", 3000),
                Mixed("old", "mix", 2000),
            ],
            new MixOutflow("mix", "piece", 2000));

        // The tank holds 1000 a and 3000 b, so 2000 of it are 500 a and 1500 b.
        Assert.Equal([new LotShare("lot-a", 500), new LotShare("lot-b", 1500)], shares.Pieces["piece"].Held);
    }

    [Fact]
    public void Draw_BeforeTheTopUp_HoldsTheOldLotAlone()
    {
        var shares = Replay(
            [
                Received("old", "lot-a", 1000), Received("new", "lot-b", 3000),
                Mixed("old", "early", 400), .. TopUp("new", into: "old", 3000), Mixed("old", "late", 360),
            ]);

        // Afterwards the tank holds 600 a and 3000 b: 360 of it are 60 a and 300 b.
        Assert.Equal([new LotShare("lot-a", 400)], shares.Mixes["early"].Held);
        Assert.Equal([new LotShare("lot-a", 60), new LotShare("lot-b", 300)], shares.Mixes["late"].Held);
    }

    [Fact]
    public void Draw_ThatDoesNotDivide_RoundsByLargestRemainder()
    {
        var blend = new Blend();
        blend.Add("lot-a", 1);
        blend.Add("lot-b", 3);
        blend.Add("lot-c", 3);

        // 5 of 7: 5/7 = 0.714, 15/7 = 2.143, 15/7 = 2.143: whole parts 0, 2, 2 and the one left over goes to a.
        Assert.Equal([new("lot-a", 1), new("lot-b", 2), new("lot-c", 2)], blend.Take(5));
    }

    [Fact]
    public void WeighBack_Short_IsUnexplainedInProportion()
    {
        var shares = Replay([Received("can", "lot-a", 600), Received("can", "lot-b", 200), Weighed("can", -40)]);

        // 40 missing of 800: 600/800 of it, 30, are of a.
        Assert.Equal(new MassAccount { ReceivedMassMg = 600, RemainingMassMg = 570, UnexplainedMassMg = 30 }, shares.AccountOf("lot-a"));
    }

    [Fact]
    public void WeighBack_Over_IsUnexplainedWithTheSignTurned()
    {
        var shares = Replay([Received("can", "lot-a", 600), Weighed("can", +5)]);

        Assert.Equal(new MassAccount { ReceivedMassMg = 600, RemainingMassMg = 605, UnexplainedMassMg = -5 }, shares.AccountOf("lot-a"));
    }

    [Fact]
    public void WeighBack_ResidueInAContainerEmptyByTheBook_BelongsToItsLastLots()
    {
        var shares = Replay([Received("can", "lot-a", 300), Received("can", "lot-b", 100), Mixed("can", "mix", 400), Weighed("can", +8)]);

        // It was emptied at 3 : 1, so 8 mg found later are 6 and 2.
        Assert.Equal([new LotShare("lot-a", 6), new LotShare("lot-b", 2)], shares.Containers["can"].Held);
        Assert.Equal(-6, shares.AccountOf("lot-a").UnexplainedMassMg);
    }

    [Fact]
    public void Take_MoreThanTheVesselHolds_IsRefused()
    {
        var blend = new Blend();
        blend.Add("lot-a", 10);

        var error = Assert.Throws<ArgumentOutOfRangeException>(() => blend.Take(11));
        Assert.Contains("holds 10 mg", error.Message, StringComparison.Ordinal);
    }

    /// <summary>Any story of receipts, top-ups, decants, draws, weighings, waste and pours.</summary>
    [Fact]
    public void Account_OfAnyStory_ClosesToTheMilligram() => Stories.Sample(story =>
    {
        var (moves, outflows) = Enact(story);
        var shares = LotShares.Replay(moves, outflows);
        foreach (var lot in Lots)
        {
            var account = shares.AccountOf(lot);
            Assert.Equal(moves.Where(move => move.Lot == lot).Sum(move => move.MassMg), account.ReceivedMassMg);
            Assert.Equal(
                account.ReceivedMassMg,
                account.PouredMassMg + account.MixedMassMg + account.DiscardedMassMg + account.RemainingMassMg + account.UnexplainedMassMg);
            Assert.True(account.PouredMassMg >= 0 && account.MixedMassMg >= 0 && account.DiscardedMassMg >= 0 && account.RemainingMassMg >= 0);
        }
    }, iter: 2000);

    /// <summary>The other side of the same sum: what the lots have in a vessel is what the vessel holds by its own events.</summary>
    [Fact]
    public void Shares_OfAnyStory_SumToTheBookBalanceOfEveryVessel() => Stories.Sample(story =>
    {
        var (moves, outflows) = Enact(story);
        var shares = LotShares.Replay(moves, outflows);
        foreach (var events in moves.GroupBy(move => move.Container))
            Assert.Equal(events.Sum(move => move.MassMg), shares.Containers[events.Key].Held.Sum(share => share.MassMg));
        foreach (var pours in outflows.Where(outflow => outflow.Piece is not null).GroupBy(outflow => outflow.Piece!))
            Assert.Equal(pours.Sum(pour => pour.MassMg), shares.Pieces[pours.Key].Held.Sum(share => share.MassMg));
    }, iter: 2000);

    private static readonly string[] Lots = ["lot-a", "lot-b", "lot-c"];
    private static readonly string[] Cans = ["can-1", "can-2", "can-3"];
    private static readonly string[] Kinds = ["received", "decanted", "mixed", "weighed", "discarded", "poured", "thrown"];

    /// <summary>A step: what, which can, which other can or lot or mix, and how much in thousandths of what is there.</summary>
    private static readonly Gen<(int Kind, int Can, int Other, int Milli)[]> Stories =
        Gen.Select(Gen.Int[0, 6], Gen.Int[0, 2], Gen.Int[0, 2], Gen.Int[0, 1000]).Array[0, 60];

    private static (List<ContainerMove> Moves, List<MixOutflow> Outflows) Enact((int Kind, int Can, int Other, int Milli)[] story)
    {
        List<ContainerMove> moves = [];
        List<MixOutflow> outflows = [];
        Dictionary<string, long> balances = [];
        void Move(ContainerMove move)
        {
            moves.Add(move with { Sequence = moves.Count + 1 });
            balances[move.Container] = balances.GetValueOrDefault(move.Container) + move.MassMg;
            if (move.Mix is { } mix) balances[mix] = balances.GetValueOrDefault(mix) - move.MassMg;
        }
        void Leave(string mix, string? piece, long massMg)
        {
            outflows.Add(new MixOutflow(mix, piece, massMg));
            balances[mix] -= massMg;
        }
        foreach (var (kind, can, other, milli) in story)
        {
            var (from, mix) = (Cans[can], $"mix-{other}");
            var massMg = balances.GetValueOrDefault(from) * milli / 1000;
            switch (Kinds[kind])
            {
                case "received": Move(Received(from, Lots[other], 1 + milli * 997L)); break;
                case "decanted" when can != other: foreach (var move in TopUp(from, Cans[other], massMg)) Move(move); break;
                case "mixed": Move(Mixed(from, mix, massMg)); break;
                case "weighed": Move(Weighed(from, milli % 2 == 0 ? -massMg : milli)); break;
                case "discarded": Move(new ContainerMove(0, from, "discarded", -massMg)); break;
                case "poured" when balances.ContainsKey(mix): Leave(mix, $"piece-{can}", balances[mix] * milli / 1000); break;
                case "thrown" when balances.ContainsKey(mix): Leave(mix, null, balances[mix] * milli / 1000); break;
            }
        }
        return (moves, outflows);
    }

    private static LotShares Replay(ContainerMove[] moves, params MixOutflow[] outflows) =>
        LotShares.Replay(moves.Select((move, index) => move with { Sequence = index + 1 }), outflows);

    private static ContainerMove Received(string container, string lot, long massMg) => new(0, container, "received", massMg, Lot: lot);

    private static ContainerMove Mixed(string container, string mix, long massMg) => new(0, container, "mixed", -massMg, Mix: mix);

    private static ContainerMove Weighed(string container, long foundMg) => new(0, container, "weighed", foundMg);

    private static ContainerMove[] TopUp(string from, string into, long massMg) =>
        [new(0, from, "decanted", -massMg, OtherContainer: into), new(0, into, "filled", massMg, OtherContainer: from)];
}
