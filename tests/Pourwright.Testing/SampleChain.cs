using Google.Type;
using Grpc.Net.Client;
using Pourwright.Host.Demo;
using Pourwright.V1;

namespace Pourwright.Testing;

/// <summary>An invented chain of five sites in four time zones, with what they teach, who teaches, and classes that people ask for.</summary>
public static class SampleChain
{
    public const string Name = "studios/willow";

    /// <summary>A Monday ten days after <see cref="StudioHarness.Start"/>.</summary>
    public static readonly DateOnly FirstDay = new(2026, 2, 16);

    public const int PourDays = 28;

    public const string Board = "studios/willow/offerings/board", Tray = "studios/willow/offerings/tray", Coaster = "studios/willow/offerings/coaster";

    /// <summary>What boards and trays are of, and a container of each part, where one was received.</summary>
    public const string Deep = "studios/willow/resinSystems/deep", DeepA = "studios/willow/containers/deep-a", DeepB = "studios/willow/containers/deep-b";

    /// <summary>In these weeks by turns the fortnights begin in which classes may pour.</summary>
    private const int Weeks = 3;

    private static readonly ChainOutline Outline = new(
        "willow", "Olive",
        [
            ("harbour", "Europe/Lisbon", 2, 24, 22), ("mill", "Europe/Madrid", 1, 16, 21), ("quarry", "Europe/Paris", 1, 16, 20),
            ("orchard", "Europe/Athens", 1, 12, 21), ("pier", "Europe/Lisbon", 1, 12, 19),
        ],
        [
            ("ana", "harbour", ["board", "tray", "coaster"], 5), ("bea", "harbour", ["tray", "coaster"], 4), ("carlos", "mill", ["board", "tray"], 5),
            ("dora", "quarry", ["board", "tray", "coaster"], 5), ("emil", "orchard", ["board", "coaster"], 4), ("filipa", "pier", ["tray", "coaster"], 5),
            ("goran", "orchard", ["tray"], 3),
        ],
        StepMinutes: 40, TrayDepthMm: 25);

    public static string Site(int index) => Outline.Site(index);

    public static string Instructor(string id) => $"{Name}/instructors/{id}";

    public static string Class(int number) => $"{Name}/classes/class-{number:00}";

    /// <summary>The chain without classes.</summary>
    public static Task CreateAsync(GrpcChannel channel) => new InventedChain(channel, Outline).FoundAsync();

    /// <summary>Asks for classes 0 to <paramref name="count"/> − 1.</summary>
    public static Task AskForAsync(GrpcChannel channel, int count, DateOnly? firstDay = null) => AskForMoreAsync(channel, 0, count, firstDay);

    /// <summary>Asks for so many classes from a number on.</summary>
    public static Task AskForMoreAsync(GrpcChannel channel, int first, int count, DateOnly? firstDay = null) =>
        new InventedChain(channel, Outline).AskAsync(first, count, firstDay ?? FirstDay, Weeks);

    /// <summary>Receives a lot of each part of <see cref="Deep"/> at a site, 20 and 9 kg, in one container each.</summary>
    public static async Task ReceiveAsync(GrpcChannel channel, string site)
    {
        var lots = new LotService.LotServiceClient(channel);
        foreach (var (id, part, massMg) in new[] { ("deep-a", Part.A, 20_000_000L), ("deep-b", Part.B, 9_000_000L) })
            await lots.ReceiveLotAsync(new()
            {
                Parent = Name, LotId = $"{id}-lot",
                Lot = new() { Part = part, ResinSystem = Deep, Supplier = "Harbour Supplies", SupplierLotCode = id },
                Containers = { new ContainerReceipt { ContainerId = id, Site = site, ReceivedMassMg = massMg } },
            });
    }

    public static Date Date(DateOnly day) => new() { Year = day.Year, Month = day.Month, Day = day.Day };
}
