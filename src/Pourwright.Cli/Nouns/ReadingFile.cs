using System.Globalization;
using Google.Protobuf.WellKnownTypes;
using Microsoft.VisualBasic.FileIO;
using Pourwright.Cli.Kernel;
using Pourwright.V1;

namespace Pourwright.Cli.Nouns;

/// <summary>
/// A logger's readings as CSV: a first line that names the columns, then a reading a line. Columns <c>time</c> and
/// <c>temperature_celsius</c> must be there; <c>relative_humidity_percent</c> and <c>surface_temperature_celsius</c>
/// (or <c>surface</c>) may be, and a cell of theirs may be empty: not measured. Other columns are passed over. Times are
/// the site's wall clock, or ISO 8601 with an offset. What parts the names of the first line, a comma, a semicolon or a
/// tab, parts the cells too; a number may have a decimal comma where a comma parts nothing, or stand in quotes.
/// </summary>
public static class ReadingFile
{
    /// <summary>More than this many faults are one fault: the wrong file.</summary>
    private const int FaultsShown = 10;

    private static readonly string[] Delimiters = ["\t", ";", ","];

    /// <summary>Reads the whole file before anything is sent.</summary>
    /// <exception cref="UsageException">Something cannot be read; each line at fault is named.</exception>
    public static IReadOnlyList<Reading> Read(TextReader file, string sensor, TimeZoneInfo? zone, DateTimeOffset now)
    {
        using var csv = new TextFieldParser(file) { TrimWhiteSpace = true };
        csv.SetDelimiters(DelimiterOf(csv.PeekChars(int.MaxValue) ?? ""));
        var columns = ColumnsOf(csv.ReadFields() ?? []);
        var readings = new List<Reading>();
        var faults = new List<string>();
        while (!csv.EndOfData && faults.Count < FaultsShown)
        {
            var line = csv.LineNumber;
            try
            {
                readings.Add(ReadingOf(csv.ReadFields()!, columns, sensor, zone, now));
            }
            catch (Exception fault) when (fault is FormatException or MalformedLineException)
            {
                faults.Add($"line {line}: {fault.Message}");
            }
        }
        return faults.Count == 0 ? readings : throw new UsageException($"Nothing was sent.\n{string.Join("\n", faults)}");
    }

    /// <summary>What parts <c>temperature_celsius</c> from its neighbours: the name of another column may hold a comma.</summary>
    private static string DelimiterOf(string header) => Delimiters.FirstOrDefault(
        delimiter => header.Split(delimiter).Any(name => name.Trim(' ', '"').Equals("temperature_celsius", StringComparison.OrdinalIgnoreCase)), ",");

    private static Columns ColumnsOf(string[] header)
    {
        var indices = header.Select((name, index) => (Name: name.ToLowerInvariant(), index))
            .DistinctBy(column => column.Name).ToDictionary(column => column.Name, column => column.index);
        if (indices.TryGetValue("surface", out var surface))
            indices["surface_temperature_celsius"] = surface;
        return indices.ContainsKey("time") && indices.ContainsKey("temperature_celsius") ? new(indices, Filled(header)) : throw new UsageException(
            "The first line must name the columns: time,temperature_celsius,relative_humidity_percent,surface_temperature_celsius.");
    }

    private static Reading ReadingOf(string[] cells, Columns columns, string sensor, TimeZoneInfo? zone, DateTimeOffset now)
    {
        if (Filled(cells) > columns.Count)
            throw new FormatException($"{Filled(cells)} cells under {columns.Count} columns: where numbers have a decimal comma, part cells by semicolons.");
        string Cell(string column) => columns.Indices.TryGetValue(column, out var index) && index < cells.Length ? cells[index] : "";
        var reading = new Reading
        {
            Sensor = sensor,
            ReadingTime = (WrittenTime.Parse(Cell("time"), zone, now, WhenSense.Happened) ?? now).ToTimestamp(),
            TemperatureCelsius = Number(Cell("temperature_celsius"), "temperature_celsius"),
        };
        if (Cell("relative_humidity_percent") is { Length: > 0 } humidity)
            reading.RelativeHumidityPercent = Number(humidity, "relative_humidity_percent");
        if (Cell("surface_temperature_celsius") is { Length: > 0 } surface)
            reading.SurfaceTemperatureCelsius = Number(surface, "surface_temperature_celsius");
        return reading;
    }

    private static double Number(string text, string column) =>
        double.TryParse(text.Replace(',', '.'), NumberStyles.Float, CultureInfo.InvariantCulture, out var value) && double.IsFinite(value)
            ? value
            : throw new FormatException($"'{text}' in {column} is not a number.");

    /// <summary>How many cells there are up to the last that is filled: some loggers end a line with a delimiter.</summary>
    private static int Filled(string[] cells) => Array.FindLastIndex(cells, cell => cell.Length > 0) + 1;

    private sealed record Columns(Dictionary<string, int> Indices, int Count);
}
