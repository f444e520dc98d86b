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
}
