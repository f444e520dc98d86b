using System.Text.Json.Nodes;
using Pourwright.Evidence.Epcis;

namespace Pourwright.Studio.Exports;

/// <summary>CSV, a line an event and material.</summary>
public sealed class SheetExport(TraceDomain domain) : ExportDocument
{
    private const string LineEnd = "\r\n";

    private readonly TraceSheet _sheet = new(domain);
    private readonly ExportSpool _lines = new();

    public override string ContentType => "text/csv; charset=utf-8; header=present";

    public override void Add(TraceRecord record, JsonObject told)
    {
        foreach (var line in _sheet.Lines(record, told)) _lines.Write(line + LineEnd);
    }

    public override IReadOnlyList<Stream> Parts() => [Text(TraceSheet.Head + LineEnd), _lines.Read()];

    public override void Dispose() => _lines.Dispose();
}
