using System.Text.Json.Nodes;
using Pourwright.Studio.Lots;
using Pourwright.Studio.Mixes;
using Pourwright.Studio.Names;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Lots;

/// <summary>
/// The drill of Reference/mock_recall.json (invented for tests; its expected part was computed by a separate program):
/// five lots, a tank filled from two of them, five mixes. A lot there is a lot in one container here, the tank a container.
/// </summary>
public sealed class RecallDrillTests : IAsyncLifetime
{
    private static readonly JsonNode Drill = JsonNode.Parse(
        File.ReadAllText(Path.Combine(AppContext.BaseDirectory, "Reference", "mock_recall.json")))!;

    private StudioHarness _harness = null!;
    private V1.LotService.LotServiceClient _lots = null!;
    private V1.MixService.MixServiceClient _mixes = null!;

    public async Task InitializeAsync()
    {
        _harness = await StudioHarness.StartAsync();
        (_lots, _mixes) = (new(_harness.Channel), new(_harness.Channel));
        await SampleStudio.CreateAsync(_harness);
        await CreateSystemAsync();
        await ReceiveAsync();
        await FillTankAsync();
        await MixAsync();
        await CountStockAsync();
    }

    public async Task DisposeAsync() => await _harness.DisposeAsync();

    [Theory]
    [InlineData("A-101")]
    [InlineData("A-102")]
    [InlineData("B-55")]
    [InlineData("B-56")]
    [InlineData("P-7")]
    public void Lot_Forward_ReachesItsContainersAndMixes(string lot)
    {
        var expected = Drill["expected"]!["forward"]![lot]!;
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
        var expected = Drill["expected"]!["backward"]![piece]!;
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
        var balance = Drill["expected"]!["lotBalance"]!.AsArray().Single(row => $"{row!["lot"]}" == lot)!;
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

    private async Task CreateSystemAsync() =>
        await new ResinService.ResinServiceClient(_harness.Channel).CreateResinSystemAsync(new()
        {
            Parent = SampleStudio.Name,
            ResinSystemId = "drill",
            ResinSystem = new()
            {
                DisplayName = "Drill",
                Basis = ResinSystem.Types.Basis.Mass,
                HardenerPartsPer100Resin = 50,
                RatioTolerancePercent = 2,
                CureClass = ResinSystem.Types.CureClass.DeepCasting,
            },
        });

    private async Task ReceiveAsync()
    {
        foreach (var receipt in Drill["input"]!["receipts"]!.AsArray())
        {
            var part = $"{receipt!["component"]}" switch { "A" => Part.A, "B" => Part.B, _ => Part.Pigment };
            await _lots.ReceiveLotAsync(new()
            {
                Parent = SampleStudio.Name,
                LotId = Id($"{receipt["lot"]}"),
                Lot = new()
                {
                    Part = part,
                    ResinSystem = part == Part.Pigment ? "" : $"{SampleStudio.Name}/resinSystems/drill",
                    SupplierLotCode = $"{receipt["lot"]}",
                },
                Containers = { new ContainerReceipt { ContainerId = Id($"{receipt["lot"]}"), Site = SampleStudio.North, ReceivedMassMg = (long)receipt["grams"]! * 1000 } },
            });
        }
    }

    // The first input is decanted into the tank, the next ones top it up; the blend's loss is found by weighing.
    private async Task FillTankAsync()
    {
        foreach (var blend in Drill["input"]!["blends"]!.AsArray())
        {
            var tank = $"{blend!["out"]}";
            var inputs = blend["inputs"]!.AsObject().Select(input => (From: Name(ResourceKind.Container, input.Key), MassMg: (long)input.Value! * 1000)).ToList();
            await _lots.DecantContainerAsync(new() { Name = inputs[0].From, ContainerId = Id(tank), MassMg = inputs[0].MassMg });
            foreach (var (from, massMg) in inputs.Skip(1))
                await _lots.TopUpContainerAsync(new() { Name = Name(ResourceKind.Container, tank), Source = from, MassMg = massMg });
            await WeighBackAsync(tank, (long)blend["out_g"]!);
        }
    }

    private async Task MixAsync()
    {
        foreach (var mix in Drill["input"]!["mixes"]!.AsArray())
            await _mixes.RecordMixAsync(new()
            {
                Parent = SampleStudio.Name,
                MixId = Id($"{mix!["id"]}"),
                Mix = new()
                {
                    Site = SampleStudio.North,
                    ResinSystem = $"{SampleStudio.Name}/resinSystems/drill",
                    Mixer = "Ivo",
                    Draws = { mix["inputs"]!.AsObject().Select(input => new Mix.Types.Draw { Container = Name(ResourceKind.Container, input.Key), MassMg = (long)input.Value! * 1000 }) },
                },
            });
    }

    private async Task CountStockAsync()
    {
        foreach (var count in Drill["input"]!["stockCount"]!.AsArray())
            await WeighBackAsync($"{count!["lot"]}", (long)count["grams"]!);
    }

    private async Task WeighBackAsync(string container, long grams) => await _lots.WeighBackContainerAsync(
        new() { Name = Name(ResourceKind.Container, container), RemainingMassMg = grams * 1000 });

    private static string[] Codes(JsonNode list) => [.. list.AsArray().Select(code => $"{code}")];

    private static string LotName(string code) => Name(ResourceKind.Lot, code);

    private static string Name(ResourceKind kind, string code) => kind.Under(SampleStudio.Name, Id(code));

    private static string Id(string code) => code.ToLowerInvariant();

    private static string Code(string name) => ResourceNames.IdOf(name).ToUpperInvariant();
}
