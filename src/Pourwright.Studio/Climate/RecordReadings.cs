using System.Globalization;
using Pourwright.Studio.Lots;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Climate;

/// <summary>Which readings a batch may add. Late ones and repeats are welcome; one that contradicts the record is not.</summary>
public static class RecordReadings
{
    /// <summary>Readings a batch: one write must not hold up the others for long. Common practice, no source.</summary>
    public const int BatchMax = 1000;

    /// <summary>Checks the shape of a batch: every sensor below <paramref name="parent"/>, every value inside its limits.</summary>
    /// <exception cref="Refusal">FIELD_INVALID with every violation.</exception>
    public static void CheckShape(string parent, IReadOnlyList<V1.Reading> readings)
    {
        var checks = new FieldChecks()
            .Name("parent", parent, ResourceKind.Site)
            .Require(readings.Count is >= 1 and <= BatchMax, "readings", $"must be 1 to {BatchMax}.", $"{readings.Count}");
        for (var i = 0; i < Math.Min(readings.Count, BatchMax); i++) CheckShape(checks, $"readings[{i}]", parent, readings[i]);
        checks.ThrowIfAny();
    }

    /// <summary>The rows of a batch of good shape.</summary>
    /// <exception cref="Refusal">TIME_IN_FUTURE where a reading lies more than <see cref="EventTime.ClockAllowance"/> ahead.</exception>
    public static IReadOnlyList<ReadingRecord> Rows(IReadOnlyList<V1.Reading> readings, DateTimeOffset now)
    {
        ReadingRecord[] rows = [.. readings.Select(ReadingRecord.From)];
        var ahead = Array.FindIndex(rows, row => row.ReadingMs > (now + EventTime.ClockAllowance).ToUnixMs());
        return ahead < 0 ? rows : throw Refusal.InvalidField(
            Reasons.TimeInFuture, $"readings[{ahead}].reading_time", Shown(rows[ahead]),
            $"lies more than {EventTime.ClockAllowance.TotalMinutes:0} minutes ahead of {now:O}. Check the clock of the logger.");
    }

    /// <summary>A reading that is there already must say the same; then it counts as a repeat.</summary>
    /// <exception cref="Refusal">READING_CONFLICT where it says something else.</exception>
    public static void MustAgree(ReadingRecord sent, ReadingRecord there, int index)
    {
        if (sent == there) return;
        throw Refusal.Precondition(
            Reasons.ReadingConflict,
            $"readings[{index}] of {sent.Sensor} at {Shown(sent)} says {Values(sent)}; recorded is {Values(there)}. A reading is evidence and is "
            + "not overwritten: check the logger's clock, or send the values as first reported.",
            ("field", $"readings[{index}]"), ("sensor", sent.Sensor), ("reading_time", Shown(sent)),
            ("sent", Values(sent)), ("recorded", Values(there)));
    }

    private static void CheckShape(FieldChecks checks, string path, string parent, V1.Reading reading)
    {
        checks.Name($"{path}.sensor", reading.Sensor, ResourceKind.Sensor, parent)
            .Time($"{path}.reading_time", reading.ReadingTime)
            .Celsius($"{path}.temperature_celsius", reading.TemperatureCelsius);
        if (reading.HasRelativeHumidityPercent)
            checks.Percent($"{path}.relative_humidity_percent", reading.RelativeHumidityPercent);
        if (reading.HasSurfaceTemperatureCelsius)
            checks.Celsius($"{path}.surface_temperature_celsius", reading.SurfaceTemperatureCelsius, -40, 100);
    }

    private static string Shown(ReadingRecord row) => Instants.FromUnixMs(row.ReadingMs).ToString("O", CultureInfo.InvariantCulture);

    private static string Values(ReadingRecord row) => string.Join(", ",
        new[] { Value(row.TemperatureCelsius, "°C"), Value(row.RelativeHumidityPercent, "%"), Value(row.SurfaceTemperatureCelsius, "°C at the surface") }
            .OfType<string>());

    private static string? Value(double? value, string unit) =>
        value is { } known ? string.Create(CultureInfo.InvariantCulture, $"{known} {unit}") : null;
}
