using System.Text.Json.Nodes;

namespace Pourwright.Evidence.Epcis;

/// <summary>Prefixes that a document may use: those of GS1's own EPCIS context, and those it declares beside it.</summary>
public sealed class EpcisPrefixes
{
    /// <summary>Declared by GS1's context for EPCIS 2.0.0.</summary>
    private static readonly KeyValuePair<string, string>[] Standard =
    [
        new("epcis", "https://ref.gs1.org/epcis/"),
        new("cbv", "https://ref.gs1.org/cbv/"),
        new("cbvmda", "urn:epcglobal:cbv:mda:"),
        new("gs1", "https://gs1.org/voc/"),
        new("rdfs", "http://www.w3.org/2000/01/rdf-schema#"),
        new("owl", "http://www.w3.org/2002/07/owl#"),
        new("xsd", "http://www.w3.org/2001/XMLSchema#"),
        new("dcterms", "http://purl.org/dc/terms/"),
    ];

    private readonly Dictionary<string, string> _namespaces;

    public EpcisPrefixes(IEnumerable<KeyValuePair<string, string>> own)
    {
        _namespaces = new(Standard);
        foreach (var (prefix, name) in own)
            _namespaces[prefix] = name;
    }

    /// <summary>Of a document's <c>@context</c>; a context given by address alone is taken as GS1's.</summary>
    public static EpcisPrefixes Of(JsonObject document) => new(document["@context"] switch
    {
        JsonArray contexts => contexts.OfType<JsonObject>().SelectMany(Declared),
        JsonObject context => Declared(context),
        _ => [],
    });

    public bool Has(string prefix) => _namespaces.ContainsKey(prefix);

    /// <summary>Namespace and local part of <c>prefix:local</c>; null where the prefix was not declared.</summary>
    public (string Namespace, string Local)? Split(string name) =>
        name.IndexOf(':', StringComparison.Ordinal) is var colon and > 0 && _namespaces.TryGetValue(name[..colon], out var space)
            ? (space, name[(colon + 1)..])
            : null;

    private static IEnumerable<KeyValuePair<string, string>> Declared(JsonObject context) =>
        context.Where(member => member.Value is JsonValue value && value.TryGetValue<string>(out _))
            .Select(member => KeyValuePair.Create(member.Key, member.Value!.GetValue<string>()));
}
