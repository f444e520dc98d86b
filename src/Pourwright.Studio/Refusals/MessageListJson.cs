using System.Text.Json;
using Google.Protobuf;

namespace Pourwright.Studio.Refusals;

/// <summary>Cautions, advice or statements in a column: a JSON list of protobuf JSON. Fields of a later release are skipped.</summary>
public static class MessageListJson
{
    private const string Empty = "[]";

    /// <summary>The column's text; `[]` where there is nothing to say.</summary>
    public static string Write<T>(IEnumerable<T> messages) where T : IMessage =>
        $"[{string.Join(',', messages.Select(message => JsonFormatter.Default.Format(message)))}]";

    /// <summary>What a column says, in the order it was written.</summary>
    public static IReadOnlyList<T> Read<T>(string json) where T : IMessage, new()
    {
        if (json == Empty) return [];
        using var list = JsonDocument.Parse(json);
        return [.. list.RootElement.EnumerateArray().Select(message => Parser.Parse<T>(message.GetRawText()))];
    }

    private static readonly JsonParser Parser = new(JsonParser.Settings.Default.WithIgnoreUnknownFields(true));
}
