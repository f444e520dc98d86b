using System.Text.Json;
using Google.Protobuf;
using Pourwright.V1;

namespace Pourwright.Studio.Refusals;

/// <summary>Cautions in a column: a JSON list of <see cref="Caution"/> in protobuf JSON.</summary>
public static class CautionJson
{
    /// <summary>The column's text; `[]` where there is nothing to say.</summary>
    public static string Write(IEnumerable<Caution> cautions) =>
        $"[{string.Join(',', cautions.Select(caution => JsonFormatter.Default.Format(caution)))}]";

    /// <summary>The cautions of a column, in the order they were written. Fields of a later release are skipped.</summary>
    public static IReadOnlyList<Caution> Read(string json)
    {
        using var list = JsonDocument.Parse(json);
        return [.. list.RootElement.EnumerateArray().Select(caution => Parser.Parse<Caution>(caution.GetRawText()))];
    }

    private static readonly JsonParser Parser = new(JsonParser.Settings.Default.WithIgnoreUnknownFields(true));
}
