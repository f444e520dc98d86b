using Pourwright.Studio.Lots;
using Pourwright.Studio.Mixes;
using Pourwright.Studio.Names;
using Pourwright.Testing;
using Pourwright.V1;
using static Pourwright.Studio.Tests.Lots.RecallDrill;

namespace Pourwright.Studio.Tests.Lots;

/// <summary>What lots, containers and mixes must answer in the drill; its pieces are asked in the trace's tests.</summary>
public sealed class RecallDrillTests(RecallDrill drill) : IClassFixture<RecallDrill>
{
    private readonly StudioHarness _harness = drill.Harness;
    private readonly V1.LotService.LotServiceClient _lots = new(drill.Harness.Channel);

    [Theory]
    [InlineData("A-101")]
    [InlineData("A-102")]
    [InlineData("B-55")]
    [InlineData("B-56")]
    [InlineData("P-7")]
    public void Lot_Forward_ReachesItsContainersAndMixes(string lot)
    {
        var expected = Expected["forward"]![lot]!;
        var (containers, draws) = _harness.Reads.Read(session =>
            (LotStore.ContainersOf(session, LotName(lot)), LotStore.DrawsOfLot(session, LotName(lot))));

        Assert.Equal(Codes(expected["lots"]!), containers.Select(container => Code(container.Name)));
        Assert.Equal(Codes(expected["mixes"]!), draws.Select(draw => Code(draw.Mix)).Distinct().Order());
        Assert.Equal(
            expected["hold"]!.AsArray().Select(held => ($"{held!["lot"]}", (long)held["grams"]! * 1000)),
            containers.Where(container => container.RemainingMassMg > 0).Select(container => (Code(container.Name), container.RemainingMassMg)));
    }

    [Theory]
    [InlineData("PC-1")]
    [InlineData("PC-2")]
    [InlineData("PC-3")]
    [InlineData("PC-4")]
    [InlineData("PC-5")]
    [InlineData("PC-6")]
    [InlineData("PC-7")]
    public void MixesOfAPiece_Backward_ReachTheirContainersAndLots(string piece)
    {
        var expected = Expected["backward"]![piece]!;
        var draws = _harness.Reads.Read(session => Codes(expected["mixes"]!)
            .SelectMany(mix => LotStore.Draws(session, Name(ResourceKind.Mix, mix)))
            .Select(draw => (Container: Code(draw.Container), Lots: LotStore.LotsIn(session, draw.Container, draw.Sequence).Select(lot => Code(lot.Name)).ToList()))
            .ToList());

        Assert.Equal(Codes(expected["direct"]!), draws.Select(draw => draw.Container).Distinct().Order());
        Assert.Equal(Codes(expected["all"]!), draws.SelectMany(draw => draw.Lots.Append(draw.Container)).Distinct().Order());
    }

    [Theory]
    [InlineData("A-101")]
    [InlineData("A-102")]
    [InlineData("B-55")]
    [InlineData("B-56")]
    [InlineData("P-7")]
    public void Container_Events_AddUpToTheDrillsBalance(string lot)
    {
        var balance = Expected["lotBalance"]!.AsArray().Single(row => $"{row!["lot"]}" == lot)!;
        var events = _harness.Reads.Read(session => LotStore.Events(session, Name(ResourceKind.Container, lot)));
        long Grams(params string[] kinds) => events.Where(e => kinds.Contains(e.Kind)).Sum(e => e.MassMg) / 1000;

        Assert.Equal((long)balance["received_g"]!, Grams(ContainerEventKinds.Received));
        Assert.Equal(-(long)balance["consumed_g"]!, Grams(ContainerEventKinds.Mixed, ContainerEventKinds.Decanted));
        // The drill's spill of 20 g has a record of its own there; here weighing back finds it.
        Assert.Equal(-(long)balance["unexplained_g"]! - (long)balance["waste_g"]!, Grams(ContainerEventKinds.Weighed));
        Assert.Equal((long)balance["remaining_g"]!, events.Sum(e => e.MassMg) / 1000);
    }

    [Fact]
    public async Task HoldLot_InsideTheTank_RefusesTheTankAndNotTheOtherCan()
    {
        await _lots.HoldLotAsync(new() { Name = LotName("A-102"), Reason = "soft pieces" });

        var tank = await _lots.GetContainerAsync(new() { Name = Name(ResourceKind.Container, "A-TANK-1") });
        var can = await _lots.GetContainerAsync(new() { Name = Name(ResourceKind.Container, "A-101") });

        Assert.Equal((true, "soft pieces"), (tank.Held, tank.HoldReason));
        Assert.Equal([LotName("A-101"), LotName("A-102")], tank.Lots);
        Assert.False(can.Held);
    }
}
