using System.ComponentModel;
using System.Globalization;
using System.Text.RegularExpressions;

namespace Pourwright.Cli.Kernel;

/// <summary>What is written as a number with its unit.</summary>
public interface IQuantity<T>
    where T : IQuantity<T>
{
    /// <summary>Reads it.</summary>
    /// <exception cref="FormatException">It cannot be read; the text says what is wanted.</exception>
    static abstract T Parse(string text);
}

/// <summary>A mass in whole milligrams, written with its unit: <c>1.39kg</c>, <c>580 g</c>, <c>250mg</c>, <c>3lb</c>, <c>8oz</c>.</summary>
/// <remarks>1 lb = 453.59237 g and 16 oz = 1 lb exactly (international yard and pound agreement, 1959; from memory).</remarks>
[TypeConverter(typeof(ParsedConverter<Mass>))]
public readonly record struct Mass(long Mg) : IQuantity<Mass>
{
    private static readonly Dictionary<string, decimal> MgPerUnit = new(StringComparer.OrdinalIgnoreCase)
    {
        ["mg"] = 1,
        ["g"] = 1_000,
        ["kg"] = 1_000_000,
        ["lb"] = 453_592.37m,
        ["oz"] = 453_592.37m / 16,
    };

    /// <summary>Reads a mass; a bare number is refused, since kilograms and grams differ a thousandfold.</summary>
    /// <exception cref="FormatException">No number, no unit or an unknown one.</exception>
    public static Mass Parse(string text) =>
        new(decimal.ToInt64(decimal.Round(WithUnit.Parse(text, "mass", "580g or 1.39kg", MgPerUnit), MidpointRounding.AwayFromZero)));

    /// <summary>For people: grams below one kilogram, else kilograms to the gram.</summary>
    public override string ToString() => Math.Abs(Mg) < 1_000_000
        ? (Mg / 1_000m).ToString("0.###", CultureInfo.InvariantCulture) + " g"
        : (Mg / 1_000_000m).ToString("0.###", CultureInfo.InvariantCulture) + " kg";
}

/// <summary>A length in millimetres, written with its unit: <c>40mm</c>, <c>4cm</c>, <c>1.5in</c>.</summary>
/// <remarks>1 in = 25.4 mm exactly (international yard and pound agreement, 1959; from memory).</remarks>
[TypeConverter(typeof(ParsedConverter<Depth>))]
public readonly record struct Depth(double Mm) : IQuantity<Depth>
{
    private static readonly Dictionary<string, decimal> MmPerUnit =
        new(StringComparer.OrdinalIgnoreCase) { ["mm"] = 1, ["cm"] = 10, ["in"] = 25.4m };

    /// <summary>Reads a length.</summary>
    /// <exception cref="FormatException">No number, no unit or an unknown one.</exception>
    public static Depth Parse(string text) =>
        new((double)WithUnit.Parse(text, "length", "40mm", MmPerUnit));

    /// <summary>For people, in millimetres.</summary>
    public override string ToString() => Mm.ToString("0.#", CultureInfo.InvariantCulture) + " mm";
}

/// <summary>A temperature in degrees Celsius, written with its unit: <c>21.5C</c>, <c>21.5°C</c>, <c>70F</c>.</summary>
[TypeConverter(typeof(ParsedConverter<Temperature>))]
public readonly record struct Temperature(double Celsius) : IQuantity<Temperature>
{
    private static readonly Dictionary<string, decimal> Units =
        new(StringComparer.OrdinalIgnoreCase) { ["C"] = 1, ["F"] = 1 };

    /// <summary>Reads a temperature; t/°C = (t/°F − 32) / 1.8.</summary>
    /// <exception cref="FormatException">No number, no unit or an unknown one.</exception>
    public static Temperature Parse(string text)
    {
        var plain = text.Replace("°", "", StringComparison.Ordinal).Trim();
        var degrees = WithUnit.Parse(plain, "temperature", "21.5C", Units);
        return new((double)(plain.EndsWith("F", StringComparison.OrdinalIgnoreCase) ? (degrees - 32) / 1.8m : degrees));
    }

    /// <summary>For people, to a tenth of a degree.</summary>
    public override string ToString() => Celsius.ToString("0.0", CultureInfo.InvariantCulture) + " °C";
}

/// <summary>How much warmer or colder, in kelvins, written with its unit: <c>5C</c>, <c>5K</c>, <c>9F</c>.</summary>
[TypeConverter(typeof(ParsedConverter<TemperatureDifference>))]
public readonly record struct TemperatureDifference(double Kelvin) : IQuantity<TemperatureDifference>
{
    private static readonly Dictionary<string, decimal> KelvinPerUnit =
        new(StringComparer.OrdinalIgnoreCase) { ["C"] = 1, ["K"] = 1, ["F"] = 1 / 1.8m };

    /// <summary>Reads a difference; Δt/K = Δt/°F / 1.8, with no 32 to take away.</summary>
    /// <exception cref="FormatException">No number, no unit or an unknown one.</exception>
    public static TemperatureDifference Parse(string text) =>
        new((double)WithUnit.Parse(text.Replace("°", "", StringComparison.Ordinal), "temperature difference", "5C", KelvinPerUnit));

    /// <summary>For people, to a tenth of a degree.</summary>
    public override string ToString() => Kelvin.ToString("0.0", CultureInfo.InvariantCulture) + " °C";
}

/// <summary>A percentage, with or without its sign: <c>55%</c>, <c>55</c>.</summary>
[TypeConverter(typeof(ParsedConverter<Percent>))]
public readonly record struct Percent(double Value) : IQuantity<Percent>
{
    private static readonly Dictionary<string, decimal> Units = new() { ["%"] = 1, [""] = 1 };

    /// <summary>Reads a percentage.</summary>
    /// <exception cref="FormatException">No number.</exception>
    public static Percent Parse(string text) =>
        new((double)WithUnit.Parse(text, "percentage", "55%", Units));

    /// <summary>For people, to a tenth.</summary>
    public override string ToString() => Value.ToString("0.#", CultureInfo.InvariantCulture) + " %";
}

/// <summary>A span of time: <c>40min</c>, <c>6h</c>, <c>1h30min</c>, <c>2d</c>.</summary>
[TypeConverter(typeof(ParsedConverter<Span>))]
public readonly partial record struct Span(TimeSpan Length) : IQuantity<Span>
{
    /// <summary>What a duration of a message may hold: ten thousand years.</summary>
    private const decimal MostSeconds = 315_576_000_000m;

    private static readonly Dictionary<string, decimal> SecondsPerUnit = new(StringComparer.OrdinalIgnoreCase)
    {
        ["s"] = 1,
        ["m"] = 60,
        ["min"] = 60,
        ["h"] = 3_600,
        ["d"] = 86_400,
    };

    /// <summary>Reads a span: one or more numbers, each with its unit; a sign before the first is that of all: <c>-1d12h</c> are 36 h.</summary>
    /// <exception cref="FormatException">No number, no unit or an unknown one, or too long.</exception>
    public static Span Parse(string text)
    {
        var parts = Part().Split(text).Where(part => !string.IsNullOrWhiteSpace(part)).DefaultIfEmpty("");
        var seconds = parts.Sum(part => Math.Abs(WithUnit.Parse(part, "duration", "6h or 40min", SecondsPerUnit)));
        if (seconds > MostSeconds)
            throw new FormatException($"'{text}' is out of reach: write at most 3652500d.");
        return new(TimeSpan.FromSeconds((double)(text.TrimStart().StartsWith('-') ? -seconds : seconds)));
    }

    /// <summary>For people: days, days and hours, hours and minutes, or minutes, cut and not rounded.</summary>
    public override string ToString() => Length.Duration() switch
    {
        { TotalDays: >= 10 } t => $"{t.Days} d",
        { TotalDays: >= 1 } t => t.Hours == 0 ? $"{t.Days} d" : $"{t.Days} d {t.Hours} h",
        { TotalHours: >= 1 } t => t.Minutes == 0 ? $"{t.Hours} h" : $"{t.Hours} h {t.Minutes} min",
        { TotalMinutes: >= 1 } t => $"{t.Minutes} min",
        var t => $"{t.Seconds} s",
    };

    [GeneratedRegex(@"(?<=[A-Za-z])\s*(?=[0-9])")]
    private static partial Regex Part();
}

/// <summary>Reads a number with its unit.</summary>
internal static partial class WithUnit
{
    /// <summary>The number times the factor of its unit.</summary>
    /// <exception cref="FormatException">The text says what was written, what is wanted, and an example.</exception>
    public static decimal Parse(string text, string quantity, string example, Dictionary<string, decimal> factors)
    {
        var match = Shape().Match(text);
        if (!match.Success)
            throw new FormatException($"'{text}' is not a {quantity}: write {example}.");
        if (!factors.TryGetValue(match.Groups["unit"].Value, out var factor))
            throw new FormatException($"'{text}' needs a unit ({string.Join(", ", factors.Keys.Where(u => u != ""))}): write {example}.");
        return Number(match.Groups["number"].Value, text) * factor;
    }

    // 1,39 is one and a bit in half of Europe; 1,390 is either that or a thousand and more, so it is asked again.
    private static decimal Number(string number, string text) => ThousandsOrDecimals().IsMatch(number)
        ? throw new FormatException($"'{text}' can be read in two ways: write it without the comma.")
        : decimal.TryParse(number.Replace(',', '.'), NumberStyles.AllowDecimalPoint | NumberStyles.AllowLeadingSign,
            CultureInfo.InvariantCulture, out var value) && Math.Abs(value) < 1_000_000_000_000m
            ? value
            : throw new FormatException($"'{text}' is out of reach.");

    [GeneratedRegex(@"^\s*(?<number>[+-]?[0-9]+([.,][0-9]+)?)\s*(?<unit>[A-Za-z]*|%)\s*$")]
    private static partial Regex Shape();

    [GeneratedRegex(@"^[+-]?[1-9][0-9]{0,2},[0-9]{3}$")]
    private static partial Regex ThousandsOrDecimals();
}

/// <summary>Lets the command line read any <see cref="IQuantity{T}"/>.</summary>
internal sealed class ParsedConverter<T> : TypeConverter
    where T : IQuantity<T>
{
    public override bool CanConvertFrom(ITypeDescriptorContext? context, Type sourceType) => sourceType == typeof(string);

    public override object? ConvertFrom(ITypeDescriptorContext? context, CultureInfo? culture, object value) =>
        T.Parse((string)value);
}
