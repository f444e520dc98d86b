using System.Text.Json.Nodes;

namespace Pourwright.Evidence.Epcis;

/// <summary>Records of the studio as an EPCIS 2.0 document in JSON-LD.</summary>
/// <remarks>
/// Made to pass GS1's JSON schema for EPCIS 2.0 and the checks that it lacks (<see cref="EpcisChecks"/>). It claims no more than
/// that: whether names of one's own satisfy the Core Business Vocabulary was not looked up in its text.
/// </remarks>
public sealed class EpcisDocument(TraceDomain domain)
{
    private const string Context = "https://ref.gs1.org/standards/epcis/2.0.0/epcis-context.jsonld";

    private readonly EpcisEvents _events = new(domain);

    /// <summary>Those its events may use.</summary>
    public EpcisPrefixes Prefixes { get; } = new([new("pw", domain.Namespace)]);

    /// <summary>The whole document: what happened in the order given, then what was corrected.</summary>
    /// <exception cref="ArgumentException">Nothing to tell: a document without events says nothing, though the schema lets it pass.</exception>
    public JsonObject Write(Guid id, DateTimeOffset creationTime, IEnumerable<TraceRecord> records, IEnumerable<Correction> corrections)
    {
        JsonNode[] events = [.. records.Select(Event), .. corrections.Select(Event)];
        if (events.Length == 0)
            throw new ArgumentException("No event to export: choose a longer time or another lot.", nameof(records));
        return Framed(id, creationTime, events);
    }

    /// <summary>A document without its events, for one too long to be held: write the first text, events with commas between, the second.</summary>
    public (string Before, string After) Frame(Guid id, DateTimeOffset creationTime)
    {
        const string end = "]}}";
        var text = Framed(id, creationTime).ToJsonString();
        return (text[..^end.Length], end);
    }

    /// <summary>One event, with its hash as <c>eventID</c>: told twice, it has the same.</summary>
    public JsonObject Event(TraceRecord record)
    {
        var told = _events.Told(record);
        told.Insert(1, "eventID", EventHash.Of(told, Prefixes));
        return told;
    }

    /// <summary>The wrong event again, declared wrong. The hash leaves the declaration out, so it keeps its <c>eventID</c>.</summary>
    public JsonObject Event(Correction correction)
    {
        var told = Event(correction.Wrong);
        told["errorDeclaration"] = new JsonObject
        {
            ["declarationTime"] = EpcisTime.Utc(correction.DeclarationTime),
            ["reason"] = correction.Reason == CorrectionReason.DidNotOccur ? "did_not_occur" : "incorrect_data",
            ["correctiveEventIDs"] = Listed(correction.Right.Select(EventId)),
        }.WithoutNulls();
        return told;
    }

    private JsonObject Framed(Guid id, DateTimeOffset creationTime, params JsonNode[] events) => new()
    {
        ["@context"] = new JsonArray(Context, new JsonObject { ["pw"] = domain.Namespace }),
        ["id"] = $"urn:uuid:{id}",
        ["type"] = "EPCISDocument",
        ["schemaVersion"] = "2.0",
        ["creationDate"] = EpcisTime.Utc(creationTime),
        ["epcisBody"] = new JsonObject { ["eventList"] = new JsonArray(events) },
    };

    /// <summary>The hash that names a record in every export.</summary>
    private string EventId(TraceRecord record) => EventHash.Of(_events.Told(record), Prefixes);

    private static JsonArray? Listed(IEnumerable<string> ids) => ids.Any() ? new([.. ids.Select(id => JsonValue.Create(id))]) : null;
}
