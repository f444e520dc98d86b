using System.Text.Json.Nodes;

namespace Pourwright.Evidence.Epcis;

/// <summary>The same records as a graph in W3C PROV-JSON, for tools that draw or query graphs.</summary>
/// <remarks>
/// What was made of what: used, wasGeneratedBy, wasDerivedFrom, wasAssociatedWith. PROV knows no quantity, unit or place, so masses
/// stand in fields of the studio's own; sensors, inspections and holds are told by the EPCIS document alone. A record that was
/// corrected is left to the caller: give the right one.
/// </remarks>
public sealed class ProvDocument(TraceDomain domain)
{
    /// <summary>The lists of a document, in their order.</summary>
    public static readonly IReadOnlyList<string> Sections = ["entity", "activity", "agent", "used", "wasGeneratedBy", "wasDerivedFrom", "wasAssociatedWith"];

    internal const string Gs1 = "https://id.gs1.org/";

    private readonly EpcisDocument _events = new(domain);

    /// <summary>What its names begin with.</summary>
    public JsonObject Prefixes => new()
    {
        ["pw"] = $"{domain.Origin}/",
        ["gs1"] = Gs1,
        ["prov"] = "http://www.w3.org/ns/prov#",
        ["xsd"] = "http://www.w3.org/2001/XMLSchema#",
    };

    public JsonObject Write(IEnumerable<TraceRecord> records)
    {
        var graph = new ProvGraph(domain);
        var sections = Sections.ToDictionary(name => name, _ => new JsonObject());
        foreach (var entry in records.SelectMany(record => graph.Add(record, _events.Event(record))))
            sections[entry.Section].Add(entry.Name, entry.About);
        return new JsonObject([new("prefix", Prefixes), .. Sections.Select(name => KeyValuePair.Create(name, (JsonNode?)sections[name]))]).WithoutNulls();
    }
}
