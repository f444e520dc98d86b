using System.Globalization;
using System.Security.Cryptography;
using System.Text;
using System.Text.Json;
using System.Text.Json.Nodes;

namespace Pourwright.Evidence.Epcis;

/// <summary>The EPCIS event hash: the same for one event however its JSON was written.</summary>
/// <remarks>
/// Rules of the Core Business Vocabulary 2.0 as published with its reference program (github.com/RalphTro/epcis-event-hash-generator):
/// members in a fixed order, lists sorted, vocabulary as web addresses, times in UTC to the millisecond, numbers without needless
/// zeros, own fields last under their full namespaces; then SHA-256. Left out: eventID, recordTime, errorDeclaration. The hash finds
/// doubles and makes an eventID; it says nothing about who wrote the event.
/// </remarks>
public sealed class EventHash
{
    private static readonly string[] NotHashed = ["@context", "type", "isA", "eventID", "recordTime", "errorDeclaration", "rdfs:comment"];

    private readonly EpcisPrefixes _prefixes;
    private readonly HashSet<string> _ignored;
    private readonly EpcisTerms _terms;

    private EventHash(EpcisPrefixes prefixes, IEnumerable<string> ignored)
    {
        _prefixes = prefixes;
        _ignored = [.. NotHashed, .. ignored];
        _terms = new(prefixes);
    }

    /// <summary>The hash as the URI that stands in <c>eventID</c>: ni:///sha-256;HEX?ver=CBV2.0 (RFC 6920).</summary>
    /// <param name="ignored">Members, with their prefixes, that the receiver's own software added.</param>
    public static string Of(JsonObject epcisEvent, EpcisPrefixes prefixes, params IEnumerable<string> ignored) =>
        $"ni:///sha-256;{Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(Text(epcisEvent, prefixes, ignored))))}?ver=CBV2.0";

    /// <summary>What is hashed.</summary>
    public static string Text(JsonObject epcisEvent, EpcisPrefixes prefixes, params IEnumerable<string> ignored) =>
        new EventHash(prefixes, ignored).Event(epcisEvent);

    private string Event(JsonObject told) => string.Concat(
    [
        $"eventType={EpcisTerms.EventType(told["type"]!.GetValue<string>())}",
        Times(told, "eventTime"),
        Plain(told, "eventTimeZoneOffset", "certificationInfo"),
        Epcs(told, "epcList"),
        Plain(told, "parentID"),
        Epcs(told, "inputEPCList"),
        Epcs(told, "childEPCs"),
        Quantities(told, "quantityList"),
        Quantities(told, "childQuantityList"),
        Quantities(told, "inputQuantityList"),
        Epcs(told, "outputEPCList"),
        Quantities(told, "outputQuantityList"),
        Plain(told, "action", "transformationID"),
        Term(told, "bizStep", EpcisTerms.BizStep),
        Term(told, "disposition", EpcisTerms.Disposition),
        Persistent(told["persistentDisposition"]?.AsObject()),
        Location(told, "readPoint"),
        Location(told, "bizLocation"),
        Typed(told, "bizTransactionList", "bizTransaction", EpcisTerms.TransactionType),
        Typed(told, "destinationList", "destination", EpcisTerms.PartyType),
        Typed(told, "sourceList", "source", EpcisTerms.PartyType),
        Listed(told, "sensorElementList", item => SensorElement(item.AsObject())),
        told["ilmd"] is JsonObject ilmd ? $"ilmd{Own(ilmd)}" : "",
        Own(told),
    ]);

    private string Epcs(JsonObject parent, string name) => Listed(parent, name, item => $"epc={Value(item)}");

    private string Quantities(JsonObject parent, string name) =>
        Listed(parent, name, item => $"quantityElement{Plain(item.AsObject(), "epcClass", "quantity", "uom")}");

    private string Typed(JsonObject parent, string name, string key, string vocabulary) => Listed(parent, name, item =>
        Term(item.AsObject(), "type", vocabulary) + Plain(item.AsObject(), key));

    private string Persistent(JsonObject? dispositions) =>
        dispositions is null ? "" : $"persistentDisposition{Dispositions(dispositions, "set")}{Dispositions(dispositions, "unset")}";

    private string Dispositions(JsonObject parent, string name) => string.Concat(Sorted(Items(parent[name])
        .Select(item => $"{name}={_terms.Expanded(item.GetValue<string>(), EpcisTerms.Disposition)}")));

    private string Location(JsonObject parent, string name) =>
        parent[name] is JsonObject location ? $"{name}{Plain(location, "id")}{Own(location)}" : "";

    private string SensorElement(JsonObject element) => string.Concat(
    [
        "sensorElement",
        element["sensorMetadata"] is JsonObject metadata ? $"sensorMetadata{Metadata(metadata)}{Own(metadata)}" : "",
        .. Sorted(Items(element["sensorReport"]).Select(report => $"sensorReport{Report(report.AsObject())}{Own(report.AsObject())}")),
        Own(element),
    ]);

    private string Metadata(JsonObject metadata) =>
        Times(metadata, "time", "startTime", "endTime") + Plain(metadata, "deviceID", "deviceMetadata", "rawData", "dataProcessingMethod", "bizRules");

    private string Report(JsonObject report) => string.Concat(
        Term(report, "type", EpcisTerms.Measurement),
        Term(report, "exception", EpcisTerms.Measurement),
        Plain(report, "deviceID", "deviceMetadata", "rawData", "dataProcessingMethod"),
        Times(report, "time"),
        Plain(report, "microorganism", "chemicalSubstance", "value"),
        Term(report, "component", EpcisTerms.Component),
        Plain(report, "stringValue", "booleanValue", "hexBinaryValue", "uriValue", "minValue", "maxValue", "meanValue", "sDev"),
        Plain(report, "percRank", "percValue", "uom", "coordinateReferenceSystem"));

    /// <summary>Fields that are not EPCIS's own, under their namespaces in braces, sorted at each level.</summary>
    private string Own(JsonObject parent) => string.Concat(Sorted(parent
        .Where(member => !_ignored.Contains(member.Key))
        .SelectMany(member => _prefixes.Split(member.Key) is { } name ? OwnField($"{{{name.Namespace}}}{name.Local}", member.Value) : [])));

    private IEnumerable<string> OwnField(string name, JsonNode? value) => value switch
    {
        null => [],
        JsonArray items => [string.Concat(Sorted(items.SelectMany(item => OwnField(name, item))))],
        JsonObject members => [name + Own(members)],
        _ => [$"{name}={Value(value)}"],
    };

    private static string Listed(JsonObject parent, string name, Func<JsonNode, string> write) =>
        parent[name] is JsonArray { Count: > 0 } items ? name + string.Concat(Sorted(Items(items).Select(write))) : "";

    private string Plain(JsonObject parent, params string[] names) => string.Concat(names
        .SelectMany(name => Items(parent[name]).Select(value => $"{name}={Value(value)}").Order(StringComparer.Ordinal)));

    private string Term(JsonObject parent, string name, string vocabulary) =>
        parent[name] is { } word ? $"{name}={_terms.Expanded(word.GetValue<string>().Trim(), vocabulary)}" : "";

    private static string Times(JsonObject parent, params string[] names) =>
        string.Concat(names.Where(name => parent[name] is not null).Select(name => $"{name}={Utc(parent[name]!.GetValue<string>())}"));

    private string Value(JsonNode value) => value.GetValueKind() switch
    {
        JsonValueKind.String => _terms.Canonical(value.GetValue<string>().Trim()),
        JsonValueKind.Number => Number(value.ToJsonString()),
        _ => value.ToJsonString(),
    };

    /// <summary>To the millisecond; the fourth decimal rounds the third, 5 and more upwards.</summary>
    private static string Utc(string time) => DateTimeOffset
        .Parse(time, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal)
        .AddTicks(TimeSpan.TicksPerMillisecond / 2).UtcDateTime
        .ToString("yyyy-MM-dd'T'HH:mm:ss.fff'Z'", CultureInfo.InvariantCulture);

    private static string Number(string written) => decimal
        .Parse(written, NumberStyles.Float, CultureInfo.InvariantCulture)
        .ToString("0.############################", CultureInfo.InvariantCulture);

    private static IEnumerable<JsonNode> Items(JsonNode? node) => node switch
    {
        null => [],
        JsonArray items => items.Select(item => item!),
        _ => [node],
    };

    /// <summary>By code points, as UTF-8 bytes would sort: ordinal order of .NET strings agrees but for letters beyond the first plane.</summary>
    private static IEnumerable<string> Sorted(IEnumerable<string> parts) => parts.Order(StringComparer.Ordinal);
}
