using System.Text.Json.Nodes;
using Pourwright.Evidence.Epcis;

namespace Pourwright.Evidence.Tests.Epcis;

public sealed class EpcisChecksTests
{
    private static readonly Dictionary<string, string> Verdicts = JsonNode.Parse(File.ReadAllText("Epcis/Reference/mutations_expected.json"))!.AsArray()
        .ToDictionary(row => (string)row!["case"]!, row => (string)row!["schema"]!);

    public static TheoryData<string> Cases => new(Verdicts.Keys);

    /// <summary>43 invented documents, one of them right; verdicts of another validator (ajv) on GS1's schema.</summary>
    [Theory]
    [MemberData(nameof(Cases))]
    public void Schema_InventedDocument_VerdictAsOfAnotherValidator(string name) =>
        Assert.Equal(Verdicts[name] == "passes", GsSchema.Objections(Invented.Reference($"mutations/{name}")).Count == 0);

    [Theory]
    [InlineData("14-extension-prefix-not-in-context", "$.epcisBody.eventList[6]['zz:defect']", "The prefix \"zz\" is declared nowhere: add it to @context.")]
    [InlineData("23-sensor-uom-percent-sign", "$.epcisBody.eventList[5].sensorElementList[0].sensorReport[1].uom", "\"%\" is no unit of RelativeHumidity: give P1.")]
    [InlineData("27-empty-eventList", "$.epcisBody.eventList", "It is empty: a document tells of at least one event.")]
    [InlineData("29-sensor-uom-wrong-but-string", "$.epcisBody.eventList[5].sensorElementList[0].sensorReport[0].uom", "\"degC\" is no unit of Temperature: give CEL or KEL or FAH.")]
    [InlineData("31-negative-mass", "$.epcisBody.eventList[2].inputQuantityList[0].quantity", "-1.2 is below nothing: give what was there, and correct a wrong event by a declaration.")]
    [InlineData("32-output-mass-more-than-input", "$.epcisBody.eventList[2].outputQuantityList", "9900000 mg came out of 1800000 mg: nothing is made of nothing, so one of the masses is wrong.")]
    [InlineData("36-eventTimeZoneOffset-disagrees", "$.epcisBody.eventList[0].eventTimeZoneOffset", "\"-07:00\" disagrees with eventTime 2026-03-02T09:15:00.000+01:00: both say the offset of the place.")]
    public void Faults_WrongButPassingTheSchema_Found(string name, string path, string finding)
    {
        var document = Invented.Reference($"mutations/{name}");
        Assert.Empty(GsSchema.Objections(document));
        Assert.Contains(new EpcisFault(path, finding), EpcisChecks.Faults(document));
    }

    [Theory]
    [InlineData("00-valid")]
    [InlineData("07-bizStep-ref.gs1.org-URI")]
    [InlineData("17-transformation-input-only-with-transformationID")]
    [InlineData("33-association-DELETE-without-children")]
    [InlineData("37-sensor-on-mix-with-transformation")]
    [InlineData("42-bizStep-own-URI")]
    public void Faults_LegalDocument_None(string name) => Assert.Empty(EpcisChecks.Faults(Invented.Reference($"mutations/{name}")));

    /// <summary>Two readings of a 1 g scale may well give 1 g more out than in.</summary>
    [Fact]
    public void Faults_MoreOutThanInByWhatTheScaleCannotTell_None()
    {
        var document = Exported(Invented.Mixing with { Mix = new(Invented.Mix, 1_801_000) });
        Assert.Equal("1801000 mg came out of 1800000 mg: nothing is made of nothing, so one of the masses is wrong.", Assert.Single(EpcisChecks.Faults(document)).Finding);
        Assert.Empty(EpcisChecks.Faults(document, toleranceMg: 1_000));
    }

    [Fact]
    public void Faults_MixPouredBeforeItWasMixed_Found()
    {
        var document = Exported(Invented.Mixing, Invented.Pour with { Time = Invented.Mixing.Time.AddMinutes(-1) });
        Assert.Equal(
            new EpcisFault("$.epcisBody.eventList[1].eventTime", "https://trace.example.org/class/lot/MIX.2026-0307-04 is used at 2026-03-07T10:04:00.000+01:00, before it was made: one of the two times is wrong."),
            Assert.Single(EpcisChecks.Faults(document)));
    }

    /// <summary>One event at a time, and in any order, the same is found: only the paths begin at the event.</summary>
    [Fact]
    public void EventFaultsAndUseOrder_OneEventAtATime_FindTheSame()
    {
        TraceRecord[] records = [Invented.Pour with { Time = Invented.Mixing.Time.AddMinutes(-1) }, Invented.Mixing with { Mix = new(Invented.Mix, 9_000_000) }];
        var order = new UseOrder();
        List<EpcisFault> faults = [];
        foreach (var told in records.Select(Invented.Document.Event))
        {
            faults.AddRange(EpcisChecks.EventFaults(told, Invented.Document.Prefixes));
            order.Add(told, "it");
        }

        Assert.Equal(EpcisChecks.Faults(Exported(records)).Select(fault => fault.Finding), faults.Concat(order.Faults).Select(fault => fault.Finding));
        Assert.Equal(["$.outputQuantityList", "it.eventTime"], faults.Concat(order.Faults).Select(fault => fault.Path));
    }

    /// <summary>Received twice, the earlier time counts.</summary>
    [Fact]
    public void UseOrder_MadeTwice_TheFirstCounts()
    {
        var order = new UseOrder();
        foreach (var told in new TraceRecord[] { Invented.Mixing, Invented.ResinIn with { Time = Invented.Mixing.Time.AddDays(1) }, Invented.ResinIn }.Select(Invented.Document.Event))
            order.Add(told, "it");
        Assert.Empty(order.Faults);
    }

    [Fact]
    public void Faults_EventChangedAfterItWasNamed_Found()
    {
        var document = Exported(Invented.Hold);
        Invented.EventsOf(document)[0]["quantityList"]![0]!["quantity"] = 8.8;
        Assert.Equal("$.epcisBody.eventList[0].eventID", Assert.Single(EpcisChecks.Faults(document)).Path);
    }

    [Fact]
    public void Faults_UnitNobodyKnows_Found()
    {
        var document = Invented.Reference("studio_trace_valid");
        Invented.EventsOf(document)[0]["quantityList"]![0]!["uom"] = "XYZ";
        Assert.Empty(GsSchema.Objections(document));
        Assert.Equal("\"XYZ\" is no unit known here: masses are KGM, GRM or MGM.", Assert.Single(EpcisChecks.Faults(document)).Finding);
    }

    private static JsonObject Exported(params TraceRecord[] records) => Invented.Document.Write(Guid.Empty, Invented.At(9, 18, 0), records, []);
}
