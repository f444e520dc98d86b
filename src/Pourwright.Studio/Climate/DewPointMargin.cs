using Pourwright.Cure.Climate;

namespace Pourwright.Studio.Climate;

/// <summary>How far the coldest known surface is from being wetted by the air.</summary>
public static class DewPointMargin
{
    /// <summary>Dew point of the air, in °C; null without humidity, and below 1 % of it, where the formula ends.</summary>
    public static double? DewPointCelsius(ReadingRecord reading) => 
        reading.RelativeHumidityPercent is { } humidity && humidity >= 1
        ? AirMoisture.DewPointCelsius(reading.TemperatureCelsius, humidity)
        : null;

    /// <summary>Surface less dew point, in K; the air stands in where no surface is measured, and a mould may be colder than the air.</summary>
    public static double? Kelvin(ReadingRecord reading) =>
        (reading.SurfaceTemperatureCelsius ?? reading.TemperatureCelsius) - DewPointCelsius(reading);
}
