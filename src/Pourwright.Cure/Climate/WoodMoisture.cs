namespace Pourwright.Cure.Climate;

/// <summary>Water in wood.</summary>
public static class WoodMoisture
{
    /// <summary>Equilibrium moisture content, in % of dry mass: what wood comes to in such air, not what it has.</summary>
    /// <remarks>
    /// With h = RH/100, k = K h: M = 1800/W · [k/(1 − k) + (K1 k + 2 K1 K2 k²)/(1 + K1 k + K1 K2 k²)],
    /// W = 349 + 1.29 T + 0.0135 T², K = 0.805 + 7.36e-4 T − 2.73e-6 T², K1 = 6.27 − 9.38e-3 T − 3.03e-4 T²,
    /// K2 = 1.91 + 0.0407 T − 2.93e-4 T², T in °C [Simpson1998].
    /// Range: −1.1 to 48.9 °C and 5 to 95 %, the part of the printed table that the tests compare (typed from memory): within
    /// 0.07. Single species differ by more; thick boards need weeks; a meter reading beats this figure.
    /// </remarks>
    /// <exception cref="CureRangeException">The temperature is outside −1.2 to 49 °C or the humidity outside 5 to 95
    /// %.</exception>
    public static double EquilibriumPercent(double temperatureCelsius, double relativeHumidityPercent)
    {
        CureRangeException.Check("Air temperature", temperatureCelsius, -1.2, 49, "°C");
        CureRangeException.Check("Relative humidity", relativeHumidityPercent, 5, 95, "%");
        var t = temperatureCelsius;
        var w = 349 + 1.29 * t + 0.0135 * t * t;
        var k1 = 6.27 - 0.00938 * t - 0.000303 * t * t;
        var k2 = 1.91 + 0.0407 * t - 0.000293 * t * t;
        var k = (0.805 + 0.000736 * t - 0.00000273 * t * t) * relativeHumidityPercent / 100;
        return 1800 / w * (k / (1 - k) + (k1 * k + 2 * k1 * k2 * k * k) / (1 + k1 * k + k1 * k2 * k * k));
    }
}
