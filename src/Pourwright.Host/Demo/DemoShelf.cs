using Google.Protobuf.WellKnownTypes;
using Pourwright.Studio.Messaging;
using Pourwright.V1;

namespace Pourwright.Host.Demo;

/// <summary>Something to look at for whoever stays after the story: invented pieces that cure and are due, a batch half poured, moulds that wait.</summary>
internal static class DemoShelf
{
    private const string Site = "quay", Instructor = "Imke";

    private static readonly string[] Makers = ["Nadia", "Otto", "Pia", "Rosa", "Sami"];

    public static async Task FillAsync(DemoStudio studio, DemoClock clock, QuietWorker worker)
    {
        await studio.ReceiveLotAsync("a-2612", Part.A, new() { Year = 2027, Month = 12, Day = 1 }, ("can-a5", Site, 8_000_000));
        await studio.ReceiveLotAsync("b-2612", Part.B, new() { Year = 2027, Month = 12, Day = 1 }, ("can-b5", Site, 4_000_000));
        foreach (var (index, maker) in Makers.Index()) await PrepareAsync(studio, 11 + index, maker);
        await MixAsync(studio, "mix-11", 2_000_000);
        await PourAsync(studio, 11, "mix-11", 30);
        await PourAsync(studio, 12, "mix-11", 40);
        await worker.SettleAsync();
        clock.JumpTo(clock.GetUtcNow().AddDays(4));
        await ReadAsync(studio, clock.GetUtcNow());
        await MixAsync(studio, "mix-12", 1_500_000);
        await PourAsync(studio, 13, "mix-12", 35);
        await worker.SettleAsync();
    }

    private static async Task PrepareAsync(DemoStudio studio, int number, string maker) => await studio.Pieces.CreatePieceAsync(new()
    {
        Parent = DemoStudio.Name,
        PieceId = $"piece-{number}",
        Piece = new() { Site = DemoStudio.Site(Site), Label = $"{number}", Maker = maker },
        RequestId = DemoStudio.NewId(),
    });

    private static async Task ReadAsync(DemoStudio studio, DateTimeOffset now) => await studio.Climate.RecordReadingsAsync(new()
    {
        Parent = DemoStudio.Site(Site),
        Readings = { new Reading { Sensor = DemoStudio.Sensor(Site), ReadingTime = Timestamp.FromDateTimeOffset(now), TemperatureCelsius = 20.5, RelativeHumidityPercent = 55 } },
        RequestId = DemoStudio.NewId(),
    });

    /// <summary>At 100 : 42.</summary>
    private static async Task MixAsync(DemoStudio studio, string id, long aMassMg) =>
        await studio.RecordMixAsync(id, Site, Instructor, 20.5, ("can-a5", aMassMg), ("can-b5", aMassMg * 42 / 100));

    private static async Task PourAsync(DemoStudio studio, int number, string mix, double depthMm) => await studio.Pieces.RecordPourAsync(new()
    {
        Parent = DemoStudio.Piece(number),
        Pour = new() { Mix = $"{DemoStudio.Name}/mixes/{mix}", Bench = DemoStudio.Bench(Site), MassMg = 1_300_000, DepthMm = depthMm, Pourer = Instructor },
        RequestId = DemoStudio.NewId(),
    });
}
