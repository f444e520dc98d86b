using System.Globalization;
using System.Text.Json.Nodes;
using Pourwright.Evidence.Sealing;

namespace Pourwright.Studio.Storage.Chain;

/// <summary>The bytes a link hashes: the table and its columns, as the file holds them.</summary>
/// <remarks>
/// Real numbers are texts that give the same number back, since canonical JSON has no fractions. A column's affinity keeps the two
/// apart: a text that reads as a number becomes one in a numeric column, and a number becomes a text in a column of texts.
/// </remarks>
public static class EvidenceRows
{
    /// <summary>Beyond it canonical JSON takes no number.</summary>
    private const long MaxWholeNumber = (1L << 53) - 1;

    /// <param name="rows">Each holds the first columns of the table, as many as the link covers.</param>
    public static byte[] Canonical(EvidenceTable table, IReadOnlyList<object?[]> rows) => CanonicalJson.Bytes(new JsonObject
    {
        ["rows"] = new JsonArray([.. rows.Select(row => Row(table, row))]),
        ["table"] = table.Name,
    });

    private static JsonObject Row(EvidenceTable table, object?[] row) =>
        new(row.Select((value, column) => KeyValuePair.Create(table.Columns[column], Value(value))));

    private static JsonNode? Value(object? value) => value switch
    {
        null or DBNull => null,
        long whole and >= -MaxWholeNumber and <= MaxWholeNumber => whole,
        long whole => whole.ToString(CultureInfo.InvariantCulture),
        // SQLite keeps a real −0 as the whole number 0 and gives back 0.
        0.0 => "0",
        double real => real.ToString("R", CultureInfo.InvariantCulture),
        byte[] bytes => new JsonObject { ["bytes"] = Convert.ToHexStringLower(bytes) },
        _ => (string)value,
    };
}
