using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Climate;

/// <summary>A row of `readings`: what a sensor measured at one instant.</summary>
public sealed record ReadingRecord
{
    public string Sensor { get; init; } = "";

    public long ReadingMs { get; init; }

    /// <summary>Air, in °C.</summary>
    public double TemperatureCelsius { get; init; }

    /// <summary>In %; null where the sensor has none.</summary>
    public double? RelativeHumidityPercent { get; init; }

    /// <summary>Coldest surface near the pieces, in °C; null where not measured.</summary>
    public double? SurfaceTemperatureCelsius { get; init; }

    public static ReadingRecord From(V1.Reading reading) => new()
    {
        Sensor = reading.Sensor,
        ReadingMs = reading.ReadingTime.ToUnixMs(),
        TemperatureCelsius = reading.TemperatureCelsius,
        RelativeHumidityPercent = reading.HasRelativeHumidityPercent ? reading.RelativeHumidityPercent : null,
        SurfaceTemperatureCelsius = reading.HasSurfaceTemperatureCelsius ? reading.SurfaceTemperatureCelsius : null,
    };

    public V1.Reading ToProto()
    {
        var reading = new V1.Reading
        {
            Sensor = Sensor,
            ReadingTime = Instants.ToTimestamp(ReadingMs),
            TemperatureCelsius = TemperatureCelsius,
        };
        if (RelativeHumidityPercent is { } humidity) reading.RelativeHumidityPercent = humidity;
        if (SurfaceTemperatureCelsius is { } surface) reading.SurfaceTemperatureCelsius = surface;
        return reading;
    }
}
