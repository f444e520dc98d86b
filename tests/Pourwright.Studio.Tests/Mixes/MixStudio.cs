using Google.Protobuf.WellKnownTypes;
using Pourwright.Testing;
using Pourwright.V1;
using Date = Google.Type.Date;

namespace Pourwright.Studio.Tests.Mixes;

/// <summary>The sample studio with one container for each state that a call can be refused for.</summary>
public sealed class MixStudio : IAsyncLifetime
{
    public const string Pigment = "studios/alder/containers/blue";

    /// <summary>A second kilogram of the deep system's part A, fit for use.</summary>
    public const string A2 = "studios/alder/containers/deep-a2";
    public const string HeldA = "studios/alder/containers/held-a";
    public const string LotHeldA = "studios/alder/containers/lot-held-a";
    public const string SpentA = "studios/alder/containers/spent-a";
    public const string ExpiredA = "studios/alder/containers/expired-a";
    public const string SouthA = "studios/alder/containers/south-a";
    public const string CoatA = "studios/alder/containers/coat-a";

    private StudioHarness _harness = null!;

    public StudioHarness Harness => _harness;

    public V1.ResinService.ResinServiceClient Resins => new(_harness.Channel);

    public V1.LotService.LotServiceClient Lots => new(_harness.Channel);

    public V1.MixService.MixServiceClient Mixes => new(_harness.Channel);

    public async Task InitializeAsync()
    {
        _harness = await StudioHarness.StartAsync();
        await SampleStudio.CreateAsync(_harness);
        await SampleStudio.ReceiveLotsAsync(_harness);
        await ReceiveAsync("blue", Part.Pigment, "");
        foreach (var id in (string[])["deep-a2", "held-a", "lot-held-a", "spent-a"]) await ReceiveAsync(id, Part.A, SampleStudio.Deep);
        await ReceiveAsync("expired-a", Part.A, SampleStudio.Deep, expiry: new Date { Year = 2026, Month = 2, Day = 6 });
        await ReceiveAsync("south-a", Part.A, SampleStudio.Deep, site: SampleStudio.South);
        await ReceiveAsync("coat-a", Part.A, SampleStudio.Coat);
        await Lots.HoldContainerAsync(new() { Name = HeldA, Reason = "cloudy" });
        await Lots.HoldLotAsync(new() { Name = "studios/alder/lots/lot-held-a-lot", Reason = "soft pieces" });
        await Lots.DiscardContainerAsync(new() { Name = SpentA, Reason = "crystals" });
    }

    public async Task DisposeAsync() => await _harness.DisposeAsync();

    /// <summary>One lot in one container of 1 kg.</summary>
    public async Task ReceiveAsync(string container, Part part, string system, Date? expiry = null, string site = SampleStudio.North) =>
        await Lots.ReceiveLotAsync(Receipt(container, part, system, expiry, site));

    public static ReceiveLotRequest Receipt(
        string container, Part part = Part.A, string system = SampleStudio.Deep, Date? expiry = null, string site = SampleStudio.North) => new()
        {
            Parent = SampleStudio.Name,
            LotId = $"{container}-lot",
            Lot = new() { Part = part, ResinSystem = system, SupplierLotCode = container, ExpiryDate = expiry },
            Containers = { new ContainerReceipt { ContainerId = container, Site = site, ReceivedMassMg = 1_000_000 } },
        };

    /// <summary>A mix that would be accepted with the default draws: 100 g of A, 42 g of B.</summary>
    public static RecordMixRequest Mix(string a = SampleStudio.DeepA, long aMassMg = 100_000, string b = SampleStudio.DeepB, long bMassMg = 42_000) => new()
    {
        Parent = SampleStudio.Name,
        Mix = new()
        {
            Site = SampleStudio.North,
            ResinSystem = SampleStudio.Deep,
            Mixer = "Ivo",
            MixTime = StudioHarness.Start.ToTimestamp(),
            Draws = { Draw(a, aMassMg), Draw(b, bMassMg) },
        },
    };

    public static Mix.Types.Draw Draw(string container, long massMg) => new() { Container = container, MassMg = massMg };

    /// <summary>How many rows of evidence there are.</summary>
    public long EvidenceCount() => _harness.Reads.Read(session => session.Scalar<long>(
        "SELECT (SELECT count(*) FROM container_events) + (SELECT count(*) FROM mixes) + (SELECT count(*) FROM mix_discards) + (SELECT count(*) FROM lots) + (SELECT count(*) FROM resin_systems)"));
}

internal static class Changing
{
    /// <summary>The same message, changed: for tables of requests that differ in one thing.</summary>
    public static T But<T>(this T message, Action<T> change)
    {
        change(message);
        return message;
    }
}
