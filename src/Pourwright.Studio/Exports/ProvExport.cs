using System.Text.Json.Nodes;
using Pourwright.Evidence.Epcis;

namespace Pourwright.Studio.Exports;

/// <summary>W3C PROV-JSON. It lists by kind what records tell by time: each list grows by itself.</summary>
public sealed class ProvExport(TraceDomain domain) : ExportDocument
{
    private readonly ProvGraph _graph = new(domain);
    private readonly Dictionary<string, ExportSpool> _sections = ProvDocument.Sections.ToDictionary(name => name, _ => new ExportSpool());

    public override string ContentType => "application/json";

    public override void Add(TraceRecord record, JsonObject told)
    {
        foreach (var entry in _graph.Add(record, told))
            _sections[entry.Section].WriteItem($"{Json(JsonValue.Create(entry.Name))}:{Json(entry.About)}");
    }

    public override IReadOnlyList<Stream> Parts() =>
    [
        Text($$"""{"prefix":{{Json(new ProvDocument(domain).Prefixes)}}"""),
        .. ProvDocument.Sections.Where(name => !_sections[name].IsEmpty)
            .SelectMany(name => new[] { Text($",\n\"{name}\":{{\n"), _sections[name].Read(), Text("}") }),
        Text("}\n"),
    ];

    public override void Dispose()
    {
        foreach (var section in _sections.Values) section.Dispose();
    }
}
