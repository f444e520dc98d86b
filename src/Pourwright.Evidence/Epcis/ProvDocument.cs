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
    private readonly EpcisDocument _events = new(domain);

    public JsonObject Write(IEnumerable<TraceRecord> records)
    {
        var graph = new Graph();
        foreach (var record in records)
            Add(graph, record);
        return graph.ToJson(domain.Origin);
    }

    private void Add(Graph graph, TraceRecord record)
    {
        var (taken, made) = Sides(record);
        if (taken.Count + made.Count == 0)
            return;
        var told = _events.Event(record);
        var act = $"pw:event/{told["eventID"]!.GetValue<string>().Split(';', '?')[1]}";
        graph.Put("activity", act, new()
        {
            ["prov:startTime"] = EpcisTime.Local(record.Time, record.Zone),
            ["prov:endTime"] = EpcisTime.Local(record.Time, record.Zone),
            ["prov:type"] = EpcisEvents.Step(told),
        });
        foreach (var part in taken)
            graph.Relate("used", new() { ["prov:activity"] = act, ["prov:entity"] = Entity(graph, part.Of), ["pw:mass_mg"] = part.MassMg });
        foreach (var whole in made)
            Generate(graph, act, whole, taken);
        if (record.By is { } by)
            graph.Relate("wasAssociatedWith", new() { ["prov:activity"] = act, ["prov:agent"] = Agent(graph, by) });
    }

    private void Generate(Graph graph, string act, Part whole, IReadOnlyList<Part> taken)
    {
        var name = Entity(graph, whole.Of);
        graph.Relate("wasGeneratedBy", new() { ["prov:entity"] = name, ["prov:activity"] = act, ["pw:mass_mg"] = whole.MassMg });
        foreach (var part in taken.Where(part => part.Of != whole.Of))
            graph.Relate("wasDerivedFrom", new() { ["prov:generatedEntity"] = name, ["prov:usedEntity"] = Entity(graph, part.Of), ["prov:activity"] = act });
    }

    /// <summary>What went in and what came out. A later layer uses the piece and makes nothing new: the piece derives from its mix all the same.</summary>
    private static (IReadOnlyList<Part> Taken, IReadOnlyList<Part> Made) Sides(TraceRecord record) => record switch
    {
        LotReceived received => ([], [Of(received.Lot)]),
        Filled filled => ([.. filled.From.Select(Of)], [Of(filled.Contents)]),
        Mixed mixed => ([.. mixed.From.Select(Of)], [Of(mixed.Mix)]),
        Poured poured => ([.. poured.From.Select(Of), .. poured.Blank is { } blank ? new[] { new Part(blank, null) } : []], [new Part(poured.Piece, null)]),
        Discarded discarded => ([.. discarded.Materials.Select(Of), .. discarded.Pieces.Select(piece => new Part(piece, null))], []),
        _ => ([], []),
    };

    private static Part Of(Amount amount) => new(amount.Of, amount.MassMg);

    private string Entity(Graph graph, Thing thing) => graph.Put("entity", Name(thing), new() { ["prov:type"] = thing.Kind.ToString().ToLowerInvariant() });

    private string Agent(Graph graph, Thing party) => graph.Put("agent", Name(party), new() { ["prov:type"] = "prov:Person" });

    private string Name(Thing thing) => domain.UriOf(thing) is var uri && uri.StartsWith(domain.Origin, StringComparison.Ordinal)
        ? $"pw:{uri[(domain.Origin.Length + 1)..]}"
        : $"gs1:{uri["https://id.gs1.org/".Length..]}";

    private sealed record Part(Thing Of, long? MassMg);

    /// <summary>PROV-JSON in the making: things once each by their names, relations numbered.</summary>
    private sealed class Graph
    {
        private static readonly string[] Order = ["entity", "activity", "agent", "used", "wasGeneratedBy", "wasDerivedFrom", "wasAssociatedWith"];

        private readonly Dictionary<string, JsonObject> _sections = Order.ToDictionary(name => name, _ => new JsonObject());

        public string Put(string section, string name, JsonObject about)
        {
            _sections[section].TryAdd(name, about);
            return name;
        }

        public void Relate(string kind, JsonObject between) =>
            _sections[kind].Add($"_:{kind}{_sections[kind].Count + 1}", between.WithoutNulls());

        public JsonObject ToJson(string origin)
        {
            var json = new JsonObject
            {
                ["prefix"] = new JsonObject
                {
                    ["pw"] = $"{origin}/",
                    ["gs1"] = "https://id.gs1.org/",
                    ["prov"] = "http://www.w3.org/ns/prov#",
                    ["xsd"] = "http://www.w3.org/2001/XMLSchema#",
                },
            };
            foreach (var name in Order)
                json[name] = _sections[name];
            return json.WithoutNulls();
        }
    }
}
