using System.Text.Json;
using Google.Protobuf;
using Pourwright.V1;

namespace Pourwright.Studio.Refusals;

/// <summary>Cautions in a column: a JSON list of <see cref="Caution"/> in protobuf JSON.</summary>
public static class CautionJson
{
    /// <summary>The column's text; `[]` where there is nothing to say.</summary>
    public static string Write(IEnumerable<Caution> cautions) => MessageListJson.Write(cautions);

    /// <summary>The cautions of a column, in the order they were written.</summary>
    public static IReadOnlyList<Caution> Read(string json) => MessageListJson.Read<Caution>(json);
}

/// <summary>Advice in a column, likewise.</summary>
public static class AdviceJson
{
    /// <summary>The column's text; `[]` where there is nothing to say.</summary>
    public static string Write(IEnumerable<Advice> advice) => MessageListJson.Write(advice);

    /// <summary>The advice of a column, in the order it was written.</summary>
    public static IReadOnlyList<Advice> Read(string json) => MessageListJson.Read<Advice>(json);
}

/// <summary>Statements in a column, likewise.</summary>
public static class StatementJson
{
    /// <summary>The column's text; `[]` where there is nothing to say.</summary>
    public static string Write(IEnumerable<Statement> statements) => MessageListJson.Write(statements);

    /// <summary>The statements of a column, in the order they were written.</summary>
    public static IReadOnlyList<Statement> Read(string json) => MessageListJson.Read<Statement>(json);
}

/// <summary>Messages as a JSON list. Fields of a later release are skipped.</summary>
internal static class MessageListJson
{
    private const string Empty = "[]";

    public static string Write<T>(IEnumerable<T> messages) where T : IMessage =>
        $"[{string.Join(',', messages.Select(message => JsonFormatter.Default.Format(message)))}]";

    public static IReadOnlyList<T> Read<T>(string json) where T : IMessage, new()
    {
        if (json == Empty) return [];
        using var list = JsonDocument.Parse(json);
        return [.. list.RootElement.EnumerateArray().Select(message => Parser.Parse<T>(message.GetRawText()))];
    }

    private static readonly JsonParser Parser = new(JsonParser.Settings.Default.WithIgnoreUnknownFields(true));
}
