using System.Text.Json.Nodes;
using Pourwright.Evidence.Epcis;
using Pourwright.V1;

namespace Pourwright.Studio.Exports;

/// <summary>Watches what leaves the house for what GS1's schema lets pass and is wrong all the same.</summary>
public sealed class CheckExport(EpcisPrefixes prefixes)
{
    /// <summary>A person reads no more; the count says how many there are.</summary>
    private const int WarningsMax = 100;

    private readonly UseOrder _order = new();
    private readonly List<string> _warnings = [];
    private int _warningCount;
    private int _eventCount;

    public bool HasSeenNothing => _eventCount == 0;

    public void Add(JsonObject told)
    {
        _eventCount++;
        var id = told["eventID"]!.GetValue<string>();
        _order.Add(told, id);
        foreach (var fault in EpcisChecks.EventFaults(told, prefixes)) Warn($"{id}: {fault.Path}: {fault.Finding}");
    }

    /// <summary>An event told once more because it is wrong: nothing is used or made by it.</summary>
    public void AddDeclaration(JsonObject told)
    {
        _eventCount++;
        foreach (var fault in EpcisChecks.EventFaults(told, prefixes)) Warn($"{told["eventID"]!.GetValue<string>()}: {fault.Path}: {fault.Finding}");
    }

    /// <summary>What is to say of a document of this length.</summary>
    public ExportSummary Summary(string contentType, long byteSize)
    {
        foreach (var fault in _order.Faults) Warn($"{fault.Path}: {fault.Finding}");
        return new() { ContentType = contentType, EventCount = _eventCount, ByteSize = byteSize, WarningCount = _warningCount, Warnings = { _warnings } };
    }

    private void Warn(string text)
    {
        _warningCount++;
        if (_warnings.Count < WarningsMax) _warnings.Add(text);
    }
}
