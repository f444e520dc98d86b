using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Nodes;
using Pourwright.Evidence.Epcis;

namespace Pourwright.Studio.Exports;

/// <summary>A document in the making: records go in one at a time, parts come out.</summary>
public abstract class ExportDocument : IDisposable
{
    // Signs such as the + of an offset stay as they are: these documents are read as JSON, never set into a page.
    private static readonly JsonSerializerOptions Plain = new() { Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping };

    public abstract string ContentType { get; }

    /// <param name="told">The event of the record, with its eventID.</param>
    public abstract void Add(TraceRecord record, JsonObject told);

    /// <summary>What was declared wrong; nothing in a form that tells only what stands.</summary>
    /// <param name="told">The wrong event with its declaration.</param>
    public virtual void AddCorrection(Correction correction, JsonObject told)
    {
    }

    /// <summary>The whole document, in order; nothing is added afterwards.</summary>
    public abstract IReadOnlyList<Stream> Parts();

    public abstract void Dispose();

    protected static string Json(JsonNode node) => node.ToJsonString(Plain);

    protected static Stream Text(string text) => new MemoryStream(System.Text.Encoding.UTF8.GetBytes(text));
}
