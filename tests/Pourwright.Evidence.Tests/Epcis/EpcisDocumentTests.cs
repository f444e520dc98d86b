using System.Text.Json.Nodes;
using Pourwright.Evidence.Epcis;

namespace Pourwright.Evidence.Tests.Epcis;

public sealed class EpcisDocumentTests
{
    private static readonly Thing Tank = new(ThingKind.Fill, "tank-1.3");

    private static readonly TraceRecord[] EveryKind =
    [
        Invented.ResinIn, Invented.HardenerIn,
        new Filled(FillingKind.TopUp, [new(Invented.ResinLot, 3_000_000), new(new(ThingKind.Fill, "tank-1.2"), 500_000)], new(Tank, 3_500_000))
        {
            Time = Invented.At(5, 12, 0), Zone = Invented.Vienna, Place = Invented.Store, Act = new(ThingKind.Act, "topup-88"),
        },
        Invented.Mixing, Invented.Pour,
        Invented.Pour with { Time = Invented.At(7, 20, 0), Act = new(ThingKind.Act, "pour-2"), OntoEarlierLayer = true, Blank = null, Mould = null, DepthMm = null },
        Invented.Tied, Invented.Read, Invented.Tied with { Time = Invented.At(8, 11, 0), TakenOff = true },
        Invented.Inspection, Invented.Inspection with { Defects = [] }, Invented.Hold, Invented.Hold with { Materials = [], Pieces = [Invented.Piece], Reason = "soft" },
        new Recalled([new(Invented.ResinLot, 18_800_000)], [Invented.Piece]) { Time = Invented.At(10, 9, 0), Zone = Invented.Vienna, Place = Invented.Store, Reason = "supplier's notice" },
        new Released([new(Tank, 2)], [Invented.Piece]) { Time = Invented.At(10, 12, 0), Zone = Invented.Vienna, Place = Invented.Store },
        new Checked(Invented.Piece) { Time = Invented.At(10, 13, 0), Zone = Invented.Vienna, Place = Invented.Store, Touch = "firm", ShoreD = 71.5m },
        new Checked(Invented.Piece) { Time = Invented.At(10, 14, 0), Zone = Invented.Vienna, Place = Invented.Store },
        new Weighed(new(Tank, 0), -3_000) { Time = Invented.At(10, 15, 0), Zone = Invented.Vienna, Place = Invented.Store },
        new Moved(new(Tank, 2)) { Time = Invented.At(10, 16, 0), Zone = Invented.Vienna, Place = Invented.Store },
        Invented.Inspection with { Defects = [new("cloudy")] },
        new Discarded([new(Tank, 1)], [Invented.Piece]) { Time = Invented.At(11, 9, 0), Zone = Invented.Vienna, Place = Invented.Store },
    ];

    /// <summary>
    /// Seven of the invented document's events come out of plain records with the hashes of the reference program; the eighth, an
    /// inspection, carries dispositions the studio does not record.
    /// </summary>
    [Theory]
    [InlineData(0)]
    [InlineData(2)]
    [InlineData(3)]
    [InlineData(4)]
    [InlineData(5)]
    [InlineData(7)]
    [InlineData(1)]
    public void Event_InventedRecord_HasTheHashOfTheReferenceProgram(int index)
    {
        TraceRecord[] records = [Invented.ResinIn, Invented.HardenerIn, Invented.Mixing, Invented.Pour, Invented.Tied, Invented.Read, Invented.Inspection, Invented.Hold];
        Assert.Equal(File.ReadAllLines("Epcis/Reference/studio_trace_valid.hashes")[index], (string?)Invented.Document.Event(records[index])["eventID"]);
    }

    [Fact]
    public void Write_EveryKindOfRecord_PassesTheSchemaAndOurChecks()
    {
        var document = Written(EveryKind, [new(Invented.Hold, Invented.At(12, 9, 0), CorrectionReason.DidNotOccur, []), new(Invented.Mixing, Invented.At(12, 9, 0), CorrectionReason.IncorrectData, [Invented.Mixing with { TargetRatioByMass = "100:50" }])]);

        Assert.Empty(GsSchema.Objections(document));
        Assert.Empty(EpcisChecks.Faults(document));
        Assert.Equal(EveryKind.Length + 2, Invented.EventsOf(document).Length);
    }

    /// <summary>A long document is written around its events, and is the same document.</summary>
    [Fact]
    public void Frame_WithTheEventsBetween_IsTheWholeDocument()
    {
        var (before, after) = Invented.Document.Frame(Guid.Empty, Invented.At(12, 18, 0));
        var text = before + string.Join(',', EveryKind.Select(record => Invented.Document.Event(record).ToJsonString())) + after;
        Assert.True(JsonNode.DeepEquals(Written(EveryKind, []), JsonNode.Parse(text)));
    }

    [Fact]
    public void Event_WeighedBack_SaysWhatIsLeftAndWhatIsMissing()
    {
        var told = Invented.Document.Event(new Weighed(new(Tank, 997_000), -3_000) { Time = Invented.At(10, 15, 0), Zone = Invented.Vienna, Place = Invented.Store });
        Assert.Equal(("cycle_counting", 0.997m, -0.003m), ((string)told["bizStep"]!, (decimal)told["quantityList"]![0]!["quantity"]!, (decimal)told["pw:unexplainedKg"]!));
    }

    /// <summary>Read back as text, nothing is lost: JSON numbers keep a single milligram.</summary>
    [Fact]
    public void Write_OneMilligram_StandsAsKilograms()
    {
        var discarded = Invented.EventsOf(JsonNode.Parse(Written([EveryKind[^1]], []).ToJsonString())!.AsObject())[0];
        Assert.Equal("0.000001", discarded["quantityList"]![0]!["quantity"]!.ToJsonString());
    }

    [Fact]
    public void Write_WrongRecord_IsToldAgainUnderItsOldNameWithWhatIsRight()
    {
        var right = Invented.Mixing with { Mix = new(Invented.Mix, 1_780_000) };
        var events = Invented.EventsOf(Written([Invented.Mixing, right], [new(Invented.Mixing, Invented.At(12, 9, 0), CorrectionReason.IncorrectData, [right])]));

        Assert.Null(events[0]["errorDeclaration"]);
        Assert.Equal((string)events[0]["eventID"]!, (string)events[2]["eventID"]!);
        Assert.Equal("""{"declarationTime":"2026-03-12T08:00:00.000Z","reason":"incorrect_data","correctiveEventIDs":["ID"]}""".Replace("ID\"]", $"{(string)events[1]["eventID"]!}\"]", StringComparison.Ordinal),
            events[2]["errorDeclaration"]!.ToJsonString());
    }

    /// <summary>Clocks of Vienna go forward at 01:00 UTC on 29 March 2026, so a minute before is +01:00 and then +02:00.</summary>
    [Theory]
    [InlineData("Europe/Vienna", 0, 59, "2026-03-29T01:59:00.000+01:00", "+01:00")]
    [InlineData("Europe/Vienna", 1, 0, "2026-03-29T03:00:00.000+02:00", "+02:00")]
    [InlineData("Asia/Kathmandu", 1, 0, "2026-03-29T06:45:00.000+05:45", "+05:45")]
    [InlineData("America/New_York", 1, 0, "2026-03-28T21:00:00.000-04:00", "-04:00")]
    [InlineData("UTC", 1, 0, "2026-03-29T01:00:00.000+00:00", "+00:00")]
    public void Event_Time_FollowsTheClockOfTheSite(string zone, int utcHour, int minute, string time, string offset)
    {
        var told = Invented.Document.Event(Invented.Tied with { Zone = zone, Time = new(2026, 3, 29, utcHour, minute, 0, TimeSpan.Zero) });
        Assert.Equal((time, offset), ((string)told["eventTime"]!, (string)told["eventTimeZoneOffset"]!));
    }

    [Fact]
    public void Event_ZoneThatDoesNotExist_Refused() => Assert.Equal(
        "\"Europe/Atlantis\" is no time zone: give an IANA name, such as Europe/Vienna.",
        Assert.Throws<ArgumentException>(() => Invented.Document.Event(Invented.Tied with { Zone = "Europe/Atlantis" })).Message);

    [Fact]
    public void Write_NoRecord_Refused() => Assert.Throws<ArgumentException>(() => Written([], []));

    [Theory]
    [InlineData("http://trace.example.org")]
    [InlineData("https://trace.example.org/deep")]
    [InlineData("https://trace.example.org/?a=b")]
    public void TraceDomain_NotAnHttpsAddressAlone_Refused(string address) => Assert.Throws<ArgumentException>(() => new TraceDomain(new Uri(address)));

    /// <summary>With a GTIN on the can, its lot goes by a Digital Link; without, by an address of the studio's own: the one on its label where it has a name.</summary>
    [Fact]
    public void UriOf_Lot_UsesTheSuppliersKeyWhereThereIsOne()
    {
        Assert.Equal("https://trace.example.org/class/lot/RESIN-A.A2602-17", Invented.Domain.UriOf(Invented.ResinLot));
        Assert.Equal("https://id.gs1.org/01/09506000134352/10/A2602%2F17", Invented.Domain.UriOf(Invented.ResinLot with { Gtin = "09506000134352", SupplierLot = "A2602/17" }));
        Assert.Equal("https://trace.example.org/v1/studios/elm/lots/a-1", Invented.Domain.UriOf(new(ThingKind.Lot, "a-1") { Resource = "studios/elm/lots/a-1", SupplierLot = "A2602-17" }));
        Assert.Equal("https://trace.example.org/loc/bench%203", Invented.Domain.UriOf(new(ThingKind.Place, "bench 3")));
    }

    private static JsonObject Written(TraceRecord[] records, Correction[] corrections) => Invented.Document.Write(Guid.Empty, Invented.At(12, 18, 0), records, corrections);
}
