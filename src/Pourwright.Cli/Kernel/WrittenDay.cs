using System.Globalization;
using Google.Type;

namespace Pourwright.Cli.Kernel;

/// <summary>Days as people write them, <c>2026-11-14</c>, and messages hold them.</summary>
public static class WrittenDay
{
    private const string Format = "yyyy-MM-dd";

    /// <exception cref="FormatException">It is no day.</exception>
    public static Date Parse(string text) => DateOnly.TryParseExact(text.Trim(), Format, CultureInfo.InvariantCulture, DateTimeStyles.None, out var day)
        ? new() { Year = day.Year, Month = day.Month, Day = day.Day }
        : throw new FormatException($"'{text}' is not a day: write 2026-11-14.");

    /// <summary>The day, or nothing where nothing is written.</summary>
    /// <exception cref="FormatException">It is no day.</exception>
    public static Date? ParseOrNone(string? text) => text is null ? null : Parse(text);

    /// <summary>For people: <c>2026-11-14</c>; nothing for none.</summary>
    public static string Of(Date? day) => day is null ? "" : new DateOnly(day.Year, day.Month, day.Day).ToString(Format, CultureInfo.InvariantCulture);
}
