namespace Pourwright.Cure.Climate;

/// <summary>Water in air, over liquid water.</summary>
/// <remarks>
/// Magnus form with the coefficients 6.112 hPa, 17.62 and 243.12 °C, those of the WMO [Sonntag1990]. Range: −45 to 60 °C. Against
/// the industrial steam formulation dew points between 10 and 30 °C, 30 to 95 %, differ by less than 0.034 K.
/// Below 0 °C this is the dew point over supercooled water; frost forms a little higher.
/// </remarks>
public static class AirMoisture
{
    private const double AtZeroHectopascal = 6.112;
    private const double Steepness = 17.62;
    private const double OffsetCelsius = 243.12;

    /// <summary>Saturation pressure of water vapour, in hPa.</summary>
    /// <remarks>e_s = 6.112 exp(17.62 T/(243.12 + T)), T in °C.</remarks>
    /// <exception cref="CureRangeException">The temperature is outside −45 to 60 °C.</exception>
    public static double SaturationPressureHectopascal(double temperatureCelsius) =>
        AtZeroHectopascal * Math.Exp(Exponent(temperatureCelsius));

    /// <summary>Dew point, in °C: a surface colder than this becomes wet.</summary>
    /// <remarks>g = ln(RH/100) + 17.62 T/(243.12 + T), T_d = 243.12 g/(17.62 − g).</remarks>
    /// <exception cref="CureRangeException">The temperature is outside −45 to 60 °C or the humidity outside 1 to 100
    /// %.</exception>
    public static double DewPointCelsius(double temperatureCelsius, double relativeHumidityPercent)
    {
        CureRangeException.Check("Relative humidity", relativeHumidityPercent, 1, 100, "%");
        var g = Math.Log(relativeHumidityPercent / 100) + Exponent(temperatureCelsius);
        return OffsetCelsius * g / (Steepness - g);
    }

    private static double Exponent(double temperatureCelsius)
    {
        CureRangeException.Check("Air temperature", temperatureCelsius, -45, 60, "°C");
        return Steepness * temperatureCelsius / (OffsetCelsius + temperatureCelsius);
    }
}
