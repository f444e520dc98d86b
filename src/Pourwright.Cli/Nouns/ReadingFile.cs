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
/// the site's wall clock, or ISO 8601 with an offset.
/// </summary>
public static class ReadingFile
{
    /// <summary>More than this many faults are one fault: the wrong file.</summary>
    private const int FaultsShown = 10;

    /// <summary>Reads the whole file before anything is sent.</summary>
    /// <exception cref="UsageException">Something cannot be read; each line at fault is named.</exception>
    public static IReadOnlyList<Reading> Read(TextReader file, string sensor, TimeZoneInfo? zone, DateTimeOffset now)
    {
        using var csv = new TextFieldParser(file) { TrimWhiteSpace = true };
        csv.SetDelimiters(",", ";", "\t");
        var columns = Columns(csv.ReadFields() ?? []);
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

    private static Dictionary<string, int> Columns(string[] header)
    {
        var columns = header.Select((name, index) => (Name: name.ToLowerInvariant(), index))
            .DistinctBy(column => column.Name).ToDictionary(column => column.Name, column => column.index);
        if (columns.TryGetValue("surface", out var surface))
            columns["surface_temperature_celsius"] = surface;
        return columns.ContainsKey("time") && columns.ContainsKey("temperature_celsius") ? columns : throw new UsageException(
            "The first line must name the columns: time,temperature_celsius,relative_humidity_percent,surface_temperature_celsius.");
    }

    private static Reading ReadingOf(string[] cells, Dictionary<string, int> columns, string sensor, TimeZoneInfo? zone, DateTimeOffset now)
    {
        string Cell(string column) => columns.TryGetValue(column, out var index) && index < cells.Length ? cells[index] : "";
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
        double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out var value) && double.IsFinite(value)
            ? value
            : throw new FormatException($"'{text}' in {column} is not a number.");
}
