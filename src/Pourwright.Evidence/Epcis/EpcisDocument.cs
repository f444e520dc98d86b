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
    private readonly EpcisPrefixes _prefixes = new([new("pw", domain.Namespace)]);

    /// <summary>The whole document: what happened in the order given, then what was corrected.</summary>
    /// <exception cref="ArgumentException">Nothing to tell: a document without events says nothing, though the schema lets it pass.</exception>
    public JsonObject Write(Guid id, DateTimeOffset creationTime, IEnumerable<TraceRecord> records, IEnumerable<Correction> corrections)
    {
        JsonNode[] events = [.. records.Select(Event), .. corrections.Select(Corrected)];
        if (events.Length == 0)
            throw new ArgumentException("No event to export: choose a longer time or another lot.", nameof(records));
        return new()
        {
            ["@context"] = new JsonArray(Context, new JsonObject { ["pw"] = domain.Namespace }),
            ["id"] = $"urn:uuid:{id}",
            ["type"] = "EPCISDocument",
            ["schemaVersion"] = "2.0",
            ["creationDate"] = EpcisTime.Utc(creationTime),
            ["epcisBody"] = new JsonObject { ["eventList"] = new JsonArray(events) },
        };
    }

    /// <summary>One event, with its hash as <c>eventID</c>: told twice, it has the same.</summary>
    public JsonObject Event(TraceRecord record)
    {
        var told = _events.Told(record);
        told.Insert(1, "eventID", EventHash.Of(told, _prefixes));
        return told;
    }

    /// <summary>The hash that names a record in every export.</summary>
    private string EventId(TraceRecord record) => EventHash.Of(_events.Told(record), _prefixes);

    /// <summary>The wrong event again, declared wrong. The hash leaves the declaration out, so it keeps its <c>eventID</c>.</summary>
    private JsonObject Corrected(Correction correction)
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

    private static JsonArray? Listed(IEnumerable<string> ids) => ids.Any() ? new([.. ids.Select(id => JsonValue.Create(id))]) : null;
}
