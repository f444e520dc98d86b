using System.Text.Json;
using System.Text.Json.Nodes;

namespace Pourwright.Evidence.Epcis;

internal static class JsonMembers
{
    /// <summary>Takes out what does not apply, and lists and objects with nothing in them: EPCIS knows no null and no empty list.</summary>
    public static JsonObject WithoutNulls(this JsonObject members)
    {
        foreach (var name in members.Where(member => member.Value is null or JsonObject { Count: 0 } or JsonArray { Count: 0 }).Select(member => member.Key).ToArray())
            members.Remove(name);
        return members;
    }

    /// <summary>Null for what is no text.</summary>
    public static string? Text(this JsonNode? node) => node?.GetValueKind() == JsonValueKind.String ? node.GetValue<string>() : null;

    /// <summary>The objects of a list; none where there is no list.</summary>
    public static IEnumerable<JsonObject> Elements(this JsonObject parent, string list) => (parent[list] as JsonArray ?? []).OfType<JsonObject>();
}
