using System.Globalization;
using System.Text;
using System.Text.Json.Nodes;
using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Pourwright.Evidence.Epcis;
using Pourwright.Evidence.Tests.Epcis;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Tests.Labels;
using Pourwright.Testing;
using Pourwright.V1;
using Format = Pourwright.V1.ExportRecordsRequest.Types.Format;

namespace Pourwright.Studio.Tests.Exports;

public sealed class ExportServiceTests(ExportedStudio studio) : IClassFixture<ExportedStudio>
{
    private const string Root = $"{ExportedStudio.Address}/v1/studios/alder";

    [Fact]
    public async Task Epcis_StudioFilledThroughTheApi_PassesTheSchemaAndEveryCheck()
    {
        var (document, summary) = await EpcisAsync(new());

        Assert.Empty(GsSchema.Objections(document));
        Assert.Empty(EpcisChecks.Faults(document));
        Assert.Empty(summary.Warnings);
        Assert.Equal(Events(document).Length, summary.EventCount);
        // 3 lots and their cans; a top-up, 2 decants, 2 moves; 3 mixes, 4 pours; 2 cures; a check, a defect; a hold and a release at
        // 2 sites each, and of a piece; a can weighed, one thrown away, the rest of a mix, a piece.
        Assert.Equal(3 + 3 + 1 + 2 + 2 + 3 + 4 + 2 + 1 + 1 + 2 + 2 + 2 + 1 + 3, summary.EventCount);
    }

    [Fact]
    public async Task Epcis_EveryEvent_IsNamedByItsHash()
    {
        var (document, _) = await EpcisAsync(new());
        var prefixes = EpcisPrefixes.Of(document);

        Assert.All(Events(document), told => Assert.Equal(EventHash.Of(told, prefixes), (string)told["eventID"]!));
        Assert.Equal(Events(document).Length, Events(document).Select(told => (string)told["eventID"]!).Distinct().Count());
    }

    [Theory]
    [InlineData(Format.Epcis)]
    [InlineData(Format.Prov)]
    [InlineData(Format.Csv)]
    public async Task Export_ToldTwice_IsTheSameBytes(Format format)
    {
        var first = await studio.ExportAsync(Request(format));
        studio.Harness.Clock.Advance(TimeSpan.FromHours(5));
        Assert.Equal(first.Document, (await studio.ExportAsync(Request(format))).Document);
    }

    [Theory]
    [InlineData(Format.Epcis)]
    [InlineData(Format.Prov)]
    [InlineData(Format.Csv)]
    public async Task Export_NamesNobody(Format format)
    {
        var text = Encoding.UTF8.GetString((await studio.ExportAsync(Request(format))).Document);

        Assert.Contains("person-", text, StringComparison.Ordinal);
        Assert.All(ExportedStudio.Names, name => Assert.DoesNotContain(name, text, StringComparison.Ordinal));
    }

    /// <summary>Inside the house an id has a name; in another studio, and for a slip of the pen, it has none.</summary>
    [Fact]
    public async Task ExplainPerson_IdOfAnExport_IsWhoMixed()
    {
        var (document, _) = await EpcisAsync(new());
        var id = ((string)Events(document).First(told => (string?)told["pw:step"] == "mixing")["pw:instructor"]!).Split('/')[^1];
        var client = new V1.ExportService.ExportServiceClient(studio.Harness.Channel);

        Assert.Equal(["Ivo"], (await client.ExplainPersonAsync(new() { Parent = SampleStudio.Name, PersonId = id })).DisplayNames);
        var refusal = await Assert.ThrowsAsync<RpcException>(async () => await client.ExplainPersonAsync(new() { Parent = SampleStudio.Name, PersonId = "person-22222222" }));
        Assert.Equal((StatusCode.NotFound, Reasons.PersonNotFound), (refusal.StatusCode, refusal.Reason()));
    }

    /// <summary>What is used and thrown away of a material was made before: received, filled, mixed, or found on the scale.</summary>
    [Fact]
    public async Task Epcis_EveryMaterial_GivesNoMoreThanWasMade()
    {
        var events = Events((await EpcisAsync(new())).Document);
        var made = Sum(events, "outputQuantityList", told => true).Concat(Sum(events, "quantityList", told => (string?)told["bizStep"] == "receiving"))
            .ToDictionary(material => material.Key, material => material.Value);
        var used = Sum(events, "inputQuantityList", _ => true);
        var destroyed = Sum(events, "quantityList", told => (string?)told["bizStep"] == "destroying");

        // 3 lots; contents of the can of old resin before and after the top-up, of 2 other cans and 2 jugs; 3 mixes.
        Assert.Equal(12, used.Count);
        Assert.All(used, material => Assert.True(
            material.Value + destroyed.GetValueOrDefault(material.Key) <= made[material.Key], $"{material.Key}: {material.Value} of {made[material.Key]}"));
        // The can of new resin: 10 kg came, 6 went into the other, 4 were spilt.
        Assert.Equal(4m, destroyed[$"{Root}/containers/new-a1#contents-1"]);
    }

    /// <summary>After the top-up at 10:00 the can holds a lot of its own: 19 kg of before and 6 kg of the new one.</summary>
    [Fact]
    public async Task Epcis_TopUp_MakesALotOfItsOwn()
    {
        var told = Events((await EpcisAsync(new())).Document).Single(told => (string?)told["pw:step"] == "topping_up");

        Assert.Equal([$"{Root}/containers/deep-a1#contents-1 19", $"{Root}/containers/new-a1#contents-1 6"], Amounts(told, "inputQuantityList"));
        Assert.Equal([$"{Root}/containers/deep-a1#contents-2 25"], Amounts(told, "outputQuantityList"));
        Assert.Equal(("2026-02-06T10:00:00.000+00:00", $"{Root}/sites/north"), ((string)told["eventTime"]!, (string)told["bizLocation"]!["id"]!));
    }

    /// <summary>A GTIN is never made up: the lot whose label carried one goes by it, the other by the studio's own address.</summary>
    [Fact]
    public async Task Epcis_Lots_GoByTheSuppliersKeyWhereTheLabelHadOne()
    {
        var received = Events((await EpcisAsync(new())).Document).Where(told => (string?)told["bizStep"] == "receiving").ToArray();

        Assert.Equal(
            [$"{Root}/lots/deep-a-lot 20", $"{Root}/lots/deep-b-lot 9", "https://id.gs1.org/01/09506000134352/10/A2602-17 10"],
            received.SelectMany(told => Amounts(told, "quantityList")));
        Assert.Equal(("2027-12-31", "2026-02-01"), ((string)received[2]["pw:expiryDate"]!, (string)received[2]["pw:productionDate"]!));
    }

    /// <summary>Nepal is 5:45 ahead of UTC all year; Lisbon in February not at all.</summary>
    [Fact]
    public async Task Epcis_Events_FollowTheClockOfTheirSite()
    {
        var pours = Events((await EpcisAsync(new())).Document).Where(told => (string?)told["pw:step"] == "pouring").ToArray();

        Assert.Equal(["+00:00", "+00:00", "+05:45", "+00:00"], pours.Select(told => (string)told["eventTimeZoneOffset"]!));
        Assert.Equal([false, false, false, true], pours.Select(told => ((string)told["bizStep"]!).EndsWith("/voc/step/adding_layer", StringComparison.Ordinal)));
        Assert.Equal([15m, 15m, 15m, 15m], pours.Select(told => (decimal)told["ilmd"]!["pw:depthMm"]!));
    }

    /// <summary>Readings of 18 and 22 °C in turn from 9:00 to 9:00 two days on: 25 cold ones and 24 warm ones, deviation √(16·25·24)/49 = 2.00.</summary>
    [Fact]
    public async Task Epcis_Cure_IsSummedUpFromFirstPourToDemold()
    {
        var cures = Events((await EpcisAsync(new() { Piece = ExportedStudio.One })).Document).Where(told => (string?)told["bizStep"] == "sensor_reporting");
        var sensor = Assert.Single(cures)["sensorElementList"]![0]!;

        Assert.Equal(
            """{"type":"Temperature","minValue":18,"maxValue":22,"meanValue":19.96,"sDev":2.00,"uom":"CEL"}""",
            sensor["sensorReport"]![0]!.ToJsonString());
        Assert.Equal(("2026-02-06T09:00:00.000+00:00", "2026-02-08T09:00:00.000+00:00"), ((string)sensor["sensorMetadata"]!["startTime"]!, (string)sensor["sensorMetadata"]!["endTime"]!));
    }

    /// <summary>A check is no verdict; a defect is.</summary>
    [Fact]
    public async Task Epcis_Inspections_SayWhatWasFound()
    {
        var seen = Events((await EpcisAsync(new())).Document).Where(told => (string?)told["bizStep"] == "inspecting").ToArray();

        Assert.Equal(["in_progress", "non_conformant"], seen.Select(told => (string)told["disposition"]!));
        Assert.Equal(("firm", 71m), ((string)seen[0]["pw:touch"]!, (decimal)seen[0]["pw:shoreD"]!));
        Assert.Equal("""[{"pw:code":"soft_patches"}]""", seen[1]["pw:defect"]!.ToJsonString());
    }

    /// <summary>The lot in question is in the can at north, 25 − 5 − 0.5 kg, and in the jug at east, 5 − 1 kg: two places, two events.</summary>
    [Fact]
    public async Task Epcis_HeldLot_NamesWhatIsLeftWhereItStands()
    {
        var events = Events((await EpcisAsync(new())).Document);
        foreach (var step in (string[])["holding", "releasing"])
            Assert.Equal(
                [$"{Root}/containers/deep-a1#contents-2 19.5", $"{Root}/containers/jug-a#contents-1 4"],
                events.Where(told => EpcisEvents.Step(told) == step).SelectMany(told => Amounts(told, "quantityList")));
    }

    /// <summary>What a phone reads off the label is what others read of it, and the node answers it.</summary>
    [Fact]
    public async Task Epcis_Piece_HasTheAddressOnItsLabel()
    {
        var label = await new V1.LabelService.LabelServiceClient(studio.Harness.Channel).PrintLabelsAsync(
            new() { Parent = SampleStudio.Name, Names = { ExportedStudio.One }, Format = PrintLabelsRequest.Types.Format.Png });
        var address = PrintedLabels.Code(label.Data.ToByteArray());
        using var http = studio.Harness.OpenHttp();

        Assert.Contains(Events((await EpcisAsync(new())).Document), told => told["outputEPCList"]?.AsArray().Any(epc => (string?)epc == address) == true);
        Assert.Contains(ExportedStudio.One, await http.GetStringAsync(new Uri(studio.Harness.HttpAddress, new Uri(address).AbsolutePath)), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Csv_EveryEvent_HasItsLinesInTheOrderOfTime()
    {
        var text = Encoding.UTF8.GetString((await studio.ExportAsync(Request(Format.Csv))).Document);
        string[][] rows = [.. text.TrimEnd().Split("\r\n").Select(line => line.Split(','))];
        var ids = Events((await EpcisAsync(new())).Document).Select(told => (string)told["eventID"]!);

        Assert.All(rows, row => Assert.Equal(12, row.Length));
        Assert.Equal("event_id", rows[0][0]);
        Assert.Equal(ids, rows.Skip(1).Select(row => row[0]).Distinct());
        var times = rows.Skip(1).Select(row => DateTimeOffset.Parse(row[1], CultureInfo.InvariantCulture)).ToArray();
        Assert.Equal(times.Order(), times);
        Assert.Contains(rows, row => row[3] == "receiving" && row[6] == "A2602-17" && row[7] == "10" && row[8] == "kg");
    }

    /// <summary>From the piece of two pours back to every lot, through the top-up.</summary>
    [Fact]
    public async Task Prov_ReadBack_LeadsFromThePieceToItsLots()
    {
        var graph = JsonNode.Parse((await studio.ExportAsync(Request(Format.Prov))).Document)!.AsObject();
        var derived = Relations(graph, "wasDerivedFrom").ToLookup(one => (string)one["prov:generatedEntity"]!, one => (string)one["prov:usedEntity"]!);
        HashSet<string> reached = [];
        for (var next = new Stack<string>(["pw:v1/studios/alder/pieces/one"]); next.TryPop(out var name);)
            foreach (var parent in derived[name].Where(reached.Add))
                next.Push(parent);

        Assert.Superset(new HashSet<string> { "pw:v1/studios/alder/lots/deep-a-lot", "pw:v1/studios/alder/lots/deep-b-lot", "gs1:01/09506000134352/10/A2602-17" }, reached);
        Assert.DoesNotContain(reached, name => name.Contains("jug-a", StringComparison.Ordinal));
        var declared = ((string[])["entity", "activity", "agent"]).SelectMany(section => graph[section]!.AsObject().Select(member => member.Key)).ToHashSet();
        Assert.Empty(((string[])["used", "wasGeneratedBy", "wasDerivedFrom", "wasAssociatedWith"]).SelectMany(kind => Relations(graph, kind))
            .SelectMany(relation => relation.Where(member => member.Key.StartsWith("prov:", StringComparison.Ordinal)).Select(member => (string)member.Value!)).Except(declared));
    }

    [Fact]
    public async Task Epcis_OfALot_TellsWhatItReachedAndWhereAllElseCameFrom()
    {
        var whole = Ids((await EpcisAsync(new())).Document);
        var document = (await EpcisAsync(new() { Lot = ExportedStudio.NewLot })).Document;

        Assert.Subset(whole, Ids(document));
        Assert.Equal([$"{Root}/pieces/one", $"{Root}/pieces/three"], Pieces(document).Distinct());
        AssertNothingOfNothing(document);
    }

    [Fact]
    public async Task Epcis_OfAPiece_TellsItsOriginsAndNoSisters()
    {
        var document = (await EpcisAsync(new() { Piece = ExportedStudio.Three })).Document;

        Assert.Subset(Ids((await EpcisAsync(new())).Document), Ids(document));
        Assert.Equal([$"{Root}/pieces/three"], Pieces(document).Distinct());
        AssertNothingOfNothing(document);
    }

    [Fact]
    public async Task Epcis_OfASiteAndATime_TellsWhatHappenedThereThen()
    {
        var east = Events((await EpcisAsync(new() { Site = ExportedStudio.East })).Document);
        Assert.All(east, told => Assert.Equal($"{Root}/sites/east", (string)told["bizLocation"]!["id"]!));
        // Two jugs arrive, a mix, a pour, what is held in a jug and released.
        Assert.Equal(6, east.Length);

        var from = Timestamp.FromDateTimeOffset(StudioHarness.Start.AddHours(4));
        var hour = Events((await EpcisAsync(new() { StartTime = from, EndTime = Timestamp.FromDateTimeOffset(StudioHarness.Start.AddHours(5)) })).Document);
        Assert.Equal(["mixing", "pouring", "destroying"], hour.Select(EpcisEvents.Step));
    }

    [Fact]
    public async Task Export_NothingRecorded_Refused() => await AssertRefusedAsync(
        new() { Format = Format.Csv, EndTime = Timestamp.FromDateTimeOffset(StudioHarness.Start.AddDays(-1)) }, StatusCode.FailedPrecondition, Reasons.NothingToExport);

    [Theory]
    [InlineData(Format.Unspecified, "", "", StatusCode.InvalidArgument, Reasons.FieldInvalid)]
    [InlineData(Format.Csv, ExportedStudio.NewLot, ExportedStudio.One, StatusCode.InvalidArgument, Reasons.FieldInvalid)]
    [InlineData(Format.Csv, "studios/birch/lots/new-a-lot", "", StatusCode.InvalidArgument, Reasons.FieldInvalid)]
    [InlineData(Format.Csv, "studios/alder/lots/nowhere", "", StatusCode.NotFound, Reasons.LotNotFound)]
    [InlineData(Format.Csv, "", "studios/alder/pieces/nowhere", StatusCode.NotFound, Reasons.PieceNotFound)]
    public async Task Export_OfWhatIsNot_Refused(Format format, string lot, string piece, StatusCode code, string reason) =>
        await AssertRefusedAsync(new() { Format = format, Lot = lot, Piece = piece }, code, reason);

    private async Task AssertRefusedAsync(ExportRecordsRequest request, StatusCode code, string reason)
    {
        request.Parent = SampleStudio.Name;
        var refusal = await Assert.ThrowsAsync<RpcException>(async () => await studio.ExportAsync(request));
        Assert.Equal((code, reason), (refusal.StatusCode, refusal.Reason()));
    }

    private async Task<(JsonObject Document, ExportSummary Summary)> EpcisAsync(ExportRecordsRequest request)
    {
        (request.Parent, request.Format) = (SampleStudio.Name, Format.Epcis);
        var (document, summary, _) = await studio.ExportAsync(request);
        Assert.Equal(document.Length, summary.ByteSize);
        return (JsonNode.Parse(document)!.AsObject(), summary);
    }

    private static ExportRecordsRequest Request(Format format) => new() { Parent = SampleStudio.Name, Format = format };

    private static JsonObject[] Events(JsonObject document) => [.. document["epcisBody"]!["eventList"]!.AsArray().Select(told => told!.AsObject())];

    private static HashSet<string> Ids(JsonObject document) => [.. Events(document).Select(told => (string)told["eventID"]!)];

    private static IEnumerable<string> Pieces(JsonObject document) => Events(document)
        .SelectMany(told => told["outputEPCList"]?.AsArray() ?? []).Select(epc => (string)epc!);

    private static IEnumerable<string> Amounts(JsonObject told, string list) => (told[list]?.AsArray() ?? [])
        .Select(element => string.Create(CultureInfo.InvariantCulture, $"{(string)element!["epcClass"]!} {(decimal)element["quantity"]!}"));

    private static Dictionary<string, decimal> Sum(IEnumerable<JsonObject> events, string list, Func<JsonObject, bool> which) => events.Where(which)
        .SelectMany(told => told[list]?.AsArray() ?? []).GroupBy(element => (string)element!["epcClass"]!)
        .ToDictionary(material => material.Key, material => material.Sum(element => (decimal)element!["quantity"]!));

    private static void AssertNothingOfNothing(JsonObject document)
    {
        var events = Events(document);
        Assert.Empty(Sum(events, "inputQuantityList", _ => true).Keys
            .Except(Sum(events, "outputQuantityList", _ => true).Keys)
            .Except(Sum(events, "quantityList", told => (string?)told["bizStep"] == "receiving").Keys));
    }

    private static IEnumerable<JsonObject> Relations(JsonObject graph, string kind) => graph[kind]!.AsObject().Select(member => member.Value!.AsObject());
}
