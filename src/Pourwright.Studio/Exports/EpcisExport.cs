using System.Security.Cryptography;
using System.Text;
using System.Text.Json.Nodes;
using Pourwright.Evidence.Epcis;

namespace Pourwright.Studio.Exports;

/// <summary>EPCIS 2.0 in JSON-LD.</summary>
/// <remarks>
/// Told twice, the same records are the same bytes: the document is named after its events, and dated by the newest thing it knows.
/// </remarks>
public sealed class EpcisExport(EpcisDocument document) : ExportDocument
{
    private readonly ExportSpool _events = new();
    private readonly IncrementalHash _hash = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
    private DateTimeOffset _newest = DateTimeOffset.MinValue;

    public override string ContentType => "application/ld+json";

    public override void Add(TraceRecord record, JsonObject told) =>
        Tell(told, record.RecordTime > record.Time ? record.RecordTime.Value : record.Time);

    public override void AddCorrection(Correction correction, JsonObject told) => Tell(told, correction.DeclarationTime);

    private void Tell(JsonObject told, DateTimeOffset known)
    {
        _events.WriteItem(Json(told));
        _hash.AppendData(Encoding.UTF8.GetBytes(told["eventID"]!.GetValue<string>()));
        if (known > _newest) _newest = known;
    }

    public override IReadOnlyList<Stream> Parts()
    {
        var (before, after) = document.Frame(Name(), _newest);
        return [Text($"{before}\n"), _events.Read(), Text($"\n{after}\n")];
    }

    public override void Dispose()
    {
        _events.Dispose();
        _hash.Dispose();
    }

    /// <summary>A UUID of version 8 (RFC 9562), which leaves its bits to its maker.</summary>
    private Guid Name()
    {
        var bytes = _hash.GetHashAndReset()[..16];
        bytes[6] = (byte)(bytes[6] & 0x0F | 0x80);
        bytes[8] = (byte)(bytes[8] & 0x3F | 0x80);
        return new(bytes, bigEndian: true);
    }
}
