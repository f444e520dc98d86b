using System.Security.Cryptography;
using System.Text;
using System.Text.Json.Nodes;
using Pourwright.Evidence.Epcis;

namespace Pourwright.Evidence.Tests.Epcis;

public sealed class EventHashTests
{
    private static readonly EpcisPrefixes Prefixes = new([new("pw", "https://trace.example.org/ns/")]);

    /// <summary>
    /// The invented document's eight events; texts and hashes were made by the reference program of the event hash
    /// (github.com/RalphTro/epcis-event-hash-generator, 5d2f1c3), the fifth text by hand from the rules as well.
    /// </summary>
    [Fact]
    public void Of_InventedDocument_EqualsTheReferenceProgram()
    {
        var document = Invented.Reference("studio_trace_valid");
        var (events, prefixes) = (Invented.EventsOf(document), EpcisPrefixes.Of(document));

        Assert.Equal(Lines("prehashes"), events.Select(told => EventHash.Text(told, prefixes)));
        Assert.Equal(Lines("hashes"), events.Select(told => EventHash.Of(told, prefixes)));
    }

    /// <summary>Texts put together by hand from the published rules; GTIN 09506000134352 is GS1's example prefix with 0+13435, check digit 2.</summary>
    [Theory]
    [InlineData("""{"action":"OBSERVE","epcList":["urn:epc:id:sgtin:9506000.013435.9","urn:epc:id:sgtin:9506000.013435.10"]}""",
        "epcListepc=https://id.gs1.org/01/09506000134352/21/10epc=https://id.gs1.org/01/09506000134352/21/9action=OBSERVE")]
    [InlineData("""{"quantityList":[{"uom":"KGM","quantity":1.500,"epcClass":"urn:epc:class:lgtin:9506000.013435.A%2F2"},{"epcClass":"urn:epc:idpat:sgtin:9506000.013435.*","quantity":20.0}]}""",
        "quantityListquantityElementepcClass=https://id.gs1.org/01/09506000134352/10/A%2F2quantity=1.5uom=KGMquantityElementepcClass=https://id.gs1.org/01/09506000134352quantity=20")]
    [InlineData("""{"epcList":["https://cans.example.com/shop/gtin/9506000134352/lot/A1/ser/7?linkType=all"]}""", "epcListepc=https://id.gs1.org/01/09506000134352/21/7")]
    [InlineData("""{"epcList":["https://trace.example.org/obj/piece.7731","https://trace.example.org/01/x"]}""", "epcListepc=https://trace.example.org/01/xepc=https://trace.example.org/obj/piece.7731")]
    [InlineData("""{"readPoint":{"id":"urn:epc:id:sgln:9506000.12345.0"},"bizLocation":{"id":"urn:epc:id:sgln:9506000.12345.b3"}}""",
        "readPointid=https://id.gs1.org/414/9506000123455bizLocationid=https://id.gs1.org/414/9506000123455/254/b3")]
    [InlineData("""{"bizStep":"urn:epcglobal:cbv:bizstep:receiving","disposition":"cbv:Disp-in_progress"}""",
        "bizStep=https://ref.gs1.org/cbv/BizStep-receivingdisposition=https://ref.gs1.org/cbv/Disp-in_progress")]
    [InlineData("""{"bizStep":"https://trace.example.org/voc/step/adding_layer"}""", "bizStep=https://trace.example.org/voc/step/adding_layer")]
    [InlineData("""{"bizTransactionList":[{"bizTransaction":"https://trace.example.org/bt/2","type":"po"},{"bizTransaction":"https://trace.example.org/bt/1"}]}""",
        "bizTransactionListbizTransaction=https://trace.example.org/bt/1type=https://ref.gs1.org/cbv/BTT-pobizTransaction=https://trace.example.org/bt/2")]
    [InlineData("""{"persistentDisposition":{"unset":["recalled"],"set":["needs_replacement","conformant"]}}""",
        "persistentDispositionset=https://ref.gs1.org/cbv/Disp-conformantset=https://ref.gs1.org/cbv/Disp-needs_replacementunset=https://ref.gs1.org/cbv/Disp-recalled")]
    [InlineData("""{"pw:b":{"pw:y":["2","1"],"pw:x":0.10},"pw:a":" open ","ilmd":{"pw:lossKg":0.01}}""",
        "ilmd{https://trace.example.org/ns/}lossKg=0.01{https://trace.example.org/ns/}a=open{https://trace.example.org/ns/}b{https://trace.example.org/ns/}x=0.1{https://trace.example.org/ns/}y=1{https://trace.example.org/ns/}y=2")]
    [InlineData("""{"recordTime":"2026-03-07T10:06:00Z","eventID":"urn:uuid:1","errorDeclaration":{"reason":"incorrect_data"},"rdfs:comment":"hm"}""", "")]
    [InlineData("""{"sensorElementList":[{"sensorReport":[{"uom":"CEL","value":26.10,"type":"gs1:Temperature"},{"type":"Dimensionless","booleanValue":true,"time":"2026-03-07T10:00:00.1235Z"}]}]}""",
        "sensorElementListsensorElementsensorReporttype=https://gs1.org/voc/Dimensionlesstime=2026-03-07T10:00:00.124ZbooleanValue=truesensorReporttype=https://gs1.org/voc/Temperaturevalue=26.1uom=CEL")]
    public void Text_OneRuleEach_AsComposedByHand(string members, string text)
    {
        var told = JsonNode.Parse(members)!.AsObject();
        told["type"] = "ObjectEvent";
        told["eventTime"] = "2026-03-07T10:05:00.1234+01:00";
        told["eventTimeZoneOffset"] = "+01:00";

        Assert.Equal("eventType=ObjectEventeventTime=2026-03-07T09:05:00.123ZeventTimeZoneOffset=+01:00" + text, EventHash.Text(told, Prefixes));
    }

    /// <summary>Each scheme of EPC URIs; check digits by 3-1 weights, such as 950600012345: 3·(5+3+1+0+6+5)+4+2+0+0+0+9 = 75, so 5.</summary>
    [Theory]
    [InlineData("urn:epc:id:sscc:9506000.0123456789", "00/095060001234567893")]
    [InlineData("urn:epc:id:pgln:9506000.12345", "417/9506000123455")]
    [InlineData("urn:epc:id:grai:9506000.12345.s1", "8003/09506000123455s1")]
    [InlineData("urn:epc:id:giai:9506000.saw.7", "8004/9506000saw.7")]
    [InlineData("urn:epc:id:gdti:9506000.12345.P-1", "253/9506000123455P-1")]
    [InlineData("urn:epc:id:sgcn:9506000.12345.9", "255/95060001234559")]
    [InlineData("urn:epc:id:cpi:9506000.AB.1", "8010/9506000AB/8011/1")]
    [InlineData("urn:epc:id:ginc:9506000.x(1)", "401/9506000x%281%29")]
    [InlineData("urn:epc:id:upui:9506000.013435.t'1", "01/09506000134352/235/t'1")]
    [InlineData("urn:epc:id:itip:9506000.013435.01.02.s", "8006/095060001343520102/21/s")]
    public void ToDigitalLink_EveryScheme_GivesItsKey(string uri, string path) => Assert.Equal($"https://id.gs1.org/{path}", EpcUri.ToDigitalLink(uri));

    [Theory]
    [InlineData("https://trace.example.org/class/lot/RESIN-A.A2602-17")]
    [InlineData("urn:epc:id:unheard:1.2")]
    [InlineData("urn:uuid:3b0d1c9a-1f0b-4d6e-8a35-5f2a9b6f0002")]
    public void ToDigitalLink_NoEpcUri_Null(string uri) => Assert.Null(EpcUri.ToDigitalLink(uri));

    [Fact]
    public void Of_MembersTheReceiverAdded_LeftOut()
    {
        var told = Invented.Document.Event(Invented.Hold);
        var hash = EventHash.Of(told, Prefixes);
        told["pw:captured"] = "by the receiver";

        Assert.NotEqual(hash, EventHash.Of(told, Prefixes));
        Assert.Equal(hash, EventHash.Of(told, Prefixes, "pw:captured"));
    }

    [Fact]
    public void Of_Text_IsItsSha256() => Assert.Equal(
        $"ni:///sha-256;{Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(Lines("prehashes")[4])))}?ver=CBV2.0", Lines("hashes")[4]);

    private static string[] Lines(string kind) => File.ReadAllLines($"Epcis/Reference/studio_trace_valid.{kind}");
}
