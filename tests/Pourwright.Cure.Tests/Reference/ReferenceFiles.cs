using System.Globalization;
using System.Text.Json;

namespace Pourwright.Cure.Tests.Reference;

/// <summary>Reads the check values beside this file.</summary>
internal static class ReferenceFiles
{
    public static JsonElement Json(string path) => JsonDocument.Parse(File.ReadAllText(Full(path))).RootElement;

    /// <summary>The named columns of one list of analytic.json, a row a theory case.</summary>
    public static IEnumerable<object[]> Analytic(string list, params string[] columns) =>
        Json("cure/analytic.json").GetProperty(list).EnumerateArray()
            .Select(row => columns.Select(column => (object)row.GetProperty(column).GetDouble()).ToArray());

    /// <summary>Rows of numbers below the heading; an empty cell is NaN.</summary>
    public static double[][] Table(string path) =>
        [.. File.ReadLines(Full(path)).Skip(1).Select(line => line.Split(',').Select(Number).ToArray())];

    private static double Number(string cell) => cell.Length == 0 ? double.NaN : double.Parse(cell, CultureInfo.InvariantCulture);

    private static string Full(string path) => Path.Combine(AppContext.BaseDirectory, "Reference", path);
}
