using System.Text.Json.Nodes;
using Pourwright.Studio.Names;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Lots;

/// <summary>
/// The drill of Reference/mock_recall.json (invented for tests; its expected part was computed by a separate program):
/// five lots, a tank filled from two of them, five mixes, seven pieces. A lot there is a lot in one container here, the tank a container.
/// </summary>
public sealed class RecallDrill : IAsyncLifetime
{
    private static readonly JsonNode Drill = JsonNode.Parse(
        File.ReadAllText(Path.Combine(AppContext.BaseDirectory, "Reference", "mock_recall.json")))!;

    /// <summary>What the separate program computed.</summary>
    public static JsonNode Expected => Drill["expected"]!;

    private static JsonNode Input => Drill["input"]!;

    /// <summary>The studio in which it was enacted.</summary>
    public StudioHarness Harness { get; private set; } = null!;

    /// <summary>Does what the file says, in its order.</summary>
    public async Task InitializeAsync()
    {
        Harness = await StudioHarness.StartAsync();
        var (lots, mixes) = (new V1.LotService.LotServiceClient(Harness.Channel), new V1.MixService.MixServiceClient(Harness.Channel));
        await SampleStudio.CreateAsync(Harness);
        await CreateSystemAsync(Harness);
        await ReceiveAsync(lots);
        await FillTankAsync(lots);
        await MixAsync(mixes);
        await PourAsync(new(Harness.Channel));
        await DiscardAsync(mixes);
        await CountStockAsync(lots);
    }

    public async Task DisposeAsync() => await Harness.DisposeAsync();

    private static async Task CreateSystemAsync(StudioHarness harness) =>
        await new ResinService.ResinServiceClient(harness.Channel).CreateResinSystemAsync(new()
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

    private static async Task ReceiveAsync(V1.LotService.LotServiceClient lots)
    {
        foreach (var receipt in Input["receipts"]!.AsArray())
        {
            var part = $"{receipt!["component"]}" switch { "A" => Part.A, "B" => Part.B, _ => Part.Pigment };
            await lots.ReceiveLotAsync(new()
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
    private static async Task FillTankAsync(V1.LotService.LotServiceClient lots)
    {
        foreach (var blend in Input["blends"]!.AsArray())
        {
            var tank = $"{blend!["out"]}";
            var inputs = blend["inputs"]!.AsObject().Select(input => (From: Name(ResourceKind.Container, input.Key), MassMg: (long)input.Value! * 1000)).ToList();
            await lots.DecantContainerAsync(new() { Name = inputs[0].From, ContainerId = Id(tank), MassMg = inputs[0].MassMg });
            foreach (var (from, massMg) in inputs.Skip(1))
                await lots.TopUpContainerAsync(new() { Name = Name(ResourceKind.Container, tank), Source = from, MassMg = massMg });
            await WeighBackAsync(lots, tank, (long)blend["out_g"]!);
        }
    }

    private static async Task MixAsync(V1.MixService.MixServiceClient mixes)
    {
        foreach (var mix in Input["mixes"]!.AsArray())
            await mixes.RecordMixAsync(new()
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

    private static async Task PourAsync(V1.PieceService.PieceServiceClient pieces)
    {
        foreach (var owner in Input["pieceOwner"]!.AsObject())
            await pieces.CreatePieceAsync(new()
            {
                Parent = SampleStudio.Name,
                PieceId = Id(owner.Key),
                Piece = new() { Site = SampleStudio.North, Label = owner.Key, Maker = $"{owner.Value}" },
            });
        foreach (var pour in Input["pours"]!.AsArray())
            await pieces.RecordPourAsync(new()
            {
                Parent = Name(ResourceKind.Piece, $"{pour!["piece"]}"),
                Pour = new()
                {
                    Mix = Name(ResourceKind.Mix, $"{pour["mix"]}"), Bench = SampleStudio.NorthBench, MassMg = (long)pour["grams"]! * 1000, DepthMm = 20, Pourer = "Ivo",
                },
            });
    }

    // What stuck to the vessel and what was thrown away are one thing here.
    private static async Task DiscardAsync(V1.MixService.MixServiceClient mixes)
    {
        foreach (var (mix, waste) in Input["mixes"]!.AsArray().Zip(Input["mixWaste"]!.AsArray()))
            await mixes.DiscardMixAsync(new()
            {
                Name = Name(ResourceKind.Mix, $"{mix!["id"]}"), MassMg = ((long)mix["loss_g"]! + (long)waste!["grams"]!) * 1000,
            });
    }

    private static async Task CountStockAsync(V1.LotService.LotServiceClient lots)
    {
        foreach (var count in Input["stockCount"]!.AsArray())
            await WeighBackAsync(lots, $"{count!["lot"]}", (long)count["grams"]!);
    }

    private static async Task WeighBackAsync(V1.LotService.LotServiceClient lots, string container, long grams) => await lots.WeighBackContainerAsync(
        new() { Name = Name(ResourceKind.Container, container), RemainingMassMg = grams * 1000 });

    public static string[] Codes(JsonNode list) => [.. list.AsArray().Select(code => $"{code}")];

    public static string LotName(string code) => Name(ResourceKind.Lot, code);

    public static string Name(ResourceKind kind, string code) => kind.Under(SampleStudio.Name, Id(code));

    private static string Id(string code) => code.ToLowerInvariant();

    public static string Code(string name) => ResourceNames.IdOf(name).ToUpperInvariant();
}
