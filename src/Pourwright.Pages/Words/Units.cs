namespace Pourwright.Pages.Words;

/// <summary>How quantities are shown: metric, or US customary.</summary>
/// <remarks>1 in = 25.4 mm, 1 lb = 0.45359237 kg, 1 oz = 1/16 lb, °F = 1.8 °C + 32: exact (NIST SP 811, appendix B, from memory).</remarks>
public sealed class Units
{
    public const double MillimetresPerInch = 25.4;
    public const double MilligramsPerOunce = 28_349.523125;

    private static readonly Units Metric = new("metric"), Us = new("us");

    private Units(string system) => System = system;

    /// <summary>Systems there are.</summary>
    public static IEnumerable<string> Systems => [Metric.System, Us.System];

    /// <summary>`metric` or `us`.</summary>
    public string System { get; }

    public bool IsUs => this == Us;

    public static Units In(string? system) => system == Us.System ? Us : Metric;

    /// <summary>mg in one step of the last digit that a mass is entered in: 1 g, or 0.05 oz.</summary>
    public string MassUnit => IsUs ? "oz" : "g";

    public double MilligramsPerUnit => IsUs ? MilligramsPerOunce : 1000;

    public string LengthUnit => IsUs ? "in" : "mm";

    public double MillimetresPerUnit => IsUs ? MillimetresPerInch : 1;

    public string Temperature(double celsius, Texts texts) =>
        IsUs ? $"{Number(celsius * 1.8 + 32, "0", texts)} °F" : $"{Number(celsius, "0.0", texts)} °C";

    public string TemperatureDifference(double kelvin, Texts texts) =>
        IsUs ? $"{Number(kelvin * 1.8, "0", texts)} °F" : $"{Number(kelvin, "0.0", texts)} °C";

    public string Mass(long mg, Texts texts) => IsUs
        ? $"{Number(mg / MilligramsPerOunce, "#,0.0", texts)} oz"
        : $"{Number(mg / 1000.0, "#,0", texts)} g";

    public string Length(double mm, Texts texts) =>
        IsUs ? $"{Number(mm / MillimetresPerInch, "0.##", texts)} in" : $"{Number(mm, "0.#", texts)} mm";

    private static string Number(double value, string format, Texts texts) => value.ToString(format, texts.Numbers);
}

/// <summary>How one person wants things said, and by what name they sign; kept in cookies of a year.</summary>
/// <param name="Texts">Language.</param>
/// <param name="Units">Units.</param>
/// <param name="Who">The name that stands under what they record; empty until they said it.</param>
public sealed record Manner(Texts Texts, Units Units, string Who = "")
{
    public const string LanguageCookie = "language", UnitsCookie = "units", WhoCookie = "who";

    /// <summary>The text of a key.</summary>
    public string this[string key] => Texts[key];

    public string Say(string key, params object[] values) => Texts.Say(key, values);

    public string Temperature(double celsius) => Units.Temperature(celsius, Texts);

    public string TemperatureDifference(double kelvin) => Units.TemperatureDifference(kelvin, Texts);

    public string Mass(long mg) => Units.Mass(mg, Texts);

    public string Length(double mm) => Units.Length(mm, Texts);

    public string Number(double value, string format) => value.ToString(format, Texts.Numbers);
}
