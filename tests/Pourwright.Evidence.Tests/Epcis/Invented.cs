using System.Text.Json.Nodes;
using Pourwright.Evidence.Epcis;

namespace Pourwright.Evidence.Tests.Epcis;

/// <summary>The invented studio whose document is `Reference/studio_trace_valid.jsonld`, as plain records.</summary>
internal static class Invented
{
    public const string Vienna = "Europe/Vienna";

    public static readonly TraceDomain Domain = new(new Uri("https://trace.example.org"));
    public static readonly EpcisDocument Document = new(Domain);

    public static readonly Thing ResinLot = new(ThingKind.Lot, "RESIN-A.A2602-17");
    public static readonly Thing HardenerLot = new(ThingKind.Lot, "HARD-B.B2601-03");
    public static readonly Thing Mix = new(ThingKind.Mix, "2026-0307-04");
    public static readonly Thing Piece = new(ThingKind.Piece, "7731");
    public static readonly Thing Logger = new(ThingKind.Logger, "12");
    public static readonly Thing Store = new(ThingKind.Place, "site-north.store");
    public static readonly Thing Bench = new(ThingKind.Place, "site-north.bench-3");
    public static readonly Thing Site = new(ThingKind.Place, "site-north");

    private static readonly Thing CureRoom = new(ThingKind.Place, "site-north.cure-room");
    private static readonly Paper Delivery = new(PaperKind.DespatchAdvice, new(ThingKind.Document, "delivery-2026-0041"));
    private static readonly Paper Session = new(PaperKind.ProductionOrder, new(ThingKind.Document, "class-session-581"));

    public static readonly LotReceived ResinIn = new(new Amount(ResinLot, 20_000_000))
    {
        Time = At(2, 9, 15), Zone = Vienna, Place = Store, Location = Store, Papers = [Delivery],
        RecordTime = new(2026, 3, 2, 8, 15, 2, 114, TimeSpan.Zero),
        SupplierLot = "A2602-17", Component = "A", ExpiryDate = new(2027, 2, 28), ProductionDate = new(2026, 2, 10),
        Supplier = new(ThingKind.Party, "supplier-7"), Receiver = new(ThingKind.Party, "studio"),
    };

    public static readonly LotReceived HardenerIn = new(new Amount(HardenerLot, 10_000_000))
    {
        Time = At(2, 9, 20), Zone = Vienna, Place = Store, Location = Store, Papers = [Delivery],
        SupplierLot = "B2601-03", Component = "B", ExpiryDate = new(2026, 12, 31),
    };

    /// <summary>1.2 kg and 0.6 kg in, 1.79 kg in the cup: 10 g stay behind.</summary>
    public static readonly Mixed Mixing = new([new(ResinLot, 1_200_000), new(HardenerLot, 600_000)], new(Mix, 1_790_000))
    {
        Time = At(7, 10, 5), Zone = Vienna, Place = new(ThingKind.Place, "site-north.mixing"), Location = Site, Papers = [Session],
        Act = new(ThingKind.Act, "3b0d1c9a-1f0b-4d6e-8a35-5f2a9b6f0002"), By = new(ThingKind.Party, "staff-12"),
        TargetRatioByMass = "2:1", PotLifeEnd = At(7, 10, 45),
    };

    public static readonly Poured Pour = new([new(Mix, 1_500_000)], Piece)
    {
        Time = At(7, 10, 25), Zone = Vienna, Place = Bench, Location = Site, Papers = [Session],
        Act = new(ThingKind.Act, "3b0d1c9a-1f0b-4d6e-8a35-5f2a9b6f0003"),
        Blank = new(ThingKind.Blank, "9921"), Mould = new(ThingKind.Mould, "55"), DepthMm = 30,
    };

    public static readonly LoggerTied Tied = new(Piece, Logger) { Time = At(7, 10, 26), Zone = Vienna, Place = Bench };

    public static readonly CureRead Read = new(Piece, Logger, At(7, 10, 25))
    {
        Time = At(8, 10, 25), Zone = Vienna, Place = CureRoom, Location = CureRoom, Method = "summary-v1",
        TemperatureCelsius = new(19.6m, 23.8m, 21.4m, 0.9m), RelativeHumidityPercent = new(41.0m, 58.5m, 49.2m),
        Noted = [new(At(7, 18, 10), 61.3m, "core", Alarm: true)],
    };

    public static readonly Inspected Inspection = new(Piece, [new("soft_spot", 2)])
    {
        Time = At(9, 16, 40), Zone = Vienna, Place = Bench, Location = Site,
        Papers = [new(PaperKind.TestResult, new(ThingKind.Document, "inspection-7731-1"))],
    };

    public static readonly Held Hold = new([new(ResinLot, 18_800_000)], []) { Time = At(9, 17, 30), Zone = Vienna, Place = Store, Location = Store };

    /// <summary>Minutes of March 2026 by Vienna's clock, an hour ahead of UTC until the 29th.</summary>
    public static DateTimeOffset At(int day, int hour, int minute) => new(2026, 3, day, hour - 1, minute, 0, TimeSpan.Zero);

    public static JsonObject Reference(string name) => JsonNode.Parse(File.ReadAllText($"Epcis/Reference/{name}.jsonld"))!.AsObject();

    public static JsonObject[] EventsOf(JsonObject document) => [.. document["epcisBody"]!["eventList"]!.AsArray().Select(told => told!.AsObject())];
}
