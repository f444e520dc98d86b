using System.Globalization;
using System.Text;
using Pourwright.Evidence.Sealing;

namespace Pourwright.Studio.Storage.Chain;

/// <summary>The bytes a link hashes: the table and its columns, as the file holds them, in canonical JSON: `{"rows":[{...}],"table":"mixes"}`.</summary>
/// <remarks>
/// Real numbers are texts that give the same number back, since canonical JSON has no fractions. A column's affinity keeps the two
/// apart: a text that reads as a number becomes one in a numeric column, and a number becomes a text in a column of texts.
/// Written out here and not by way of JSON nodes, which would cost a third of a mix.
/// </remarks>
public static class EvidenceRows
{
    /// <summary>Beyond it canonical JSON takes no number.</summary>
    private const long MaxWholeNumber = (1L << 53) - 1;

    /// <param name="rows">Each holds the first columns of the table, as many as the link covers.</param>
    public static byte[] Canonical(EvidenceTable table, IReadOnlyList<object?[]> rows)
    {
        var text = new StringBuilder(512).Append("{\"rows\":[");
        for (var row = 0; row < rows.Count; row++)
        {
            if (row > 0) text.Append(',');
            WriteRow(table, rows[row], text);
        }
        return CanonicalJson.Bytes(text.Append("],\"table\":\"").Append(table.Name).Append("\"}"));
    }

    private static void WriteRow(EvidenceTable table, object?[] row, StringBuilder text)
    {
        var next = '{';
        foreach (var column in table.ColumnsByName)
        {
            if (column >= row.Length) continue;
            text.Append(next).Append('"').Append(table.Columns[column]).Append("\":");
            WriteValue(row[column], text);
            next = ',';
        }
        text.Append('}');
    }

    private static void WriteValue(object? value, StringBuilder text)
    {
        switch (value)
        {
            case null or DBNull: text.Append("null"); break;
            case long whole and >= -MaxWholeNumber and <= MaxWholeNumber: text.Append(CultureInfo.InvariantCulture, $"{whole}"); break;
            case string letters: CanonicalJson.WriteString(letters, text); break;
            // SQLite keeps a real −0 as the whole number 0 and gives back 0.
            case 0.0: text.Append("\"0\""); break;
            case byte[] bytes: text.Append("{\"bytes\":\"").Append(Convert.ToHexStringLower(bytes)).Append("\"}"); break;
            default: text.Append(CultureInfo.InvariantCulture, $"\"{value}\""); break;
        }
    }
}
