using System.Globalization;
using Pourwright.Studio.Refusals;
using Date = Google.Type.Date;

namespace Pourwright.Studio.Classes;

/// <summary>Local days between the three places they live: code, columns (yyyy-MM-dd), messages.</summary>
public static class Days
{
    private const string Format = "yyyy-MM-dd";

    /// <summary>Away from both ends of the calendar, so that a day's instants in any zone, and days reckoned from it, are on it too.</summary>
    private const int YearMin = 1900, YearMax = 2999;

    /// <summary>A whole date of the calendar; absent is allowed where it is not <paramref name="required"/>.</summary>
    public static FieldChecks Day(this FieldChecks checks, string fieldPath, Date? date, bool required = false) => checks.Require(
        date is null ? !required : Find(date) is not null, fieldPath, $"must be a whole date from {YearMin} to {YearMax}{(required ? "" : ", or be left out")}.",
        date is null ? null : $"{date.Year:0000}-{date.Month:00}-{date.Day:00}");

    /// <summary>The day of a message; null for none and for what is no date.</summary>
    public static DateOnly? Find(Date? date) =>
        date is { Year: >= YearMin and <= YearMax, Month: >= 1 and <= 12, Day: >= 1 } && date.Day <= DateTime.DaysInMonth(date.Year, date.Month)
            ? new DateOnly(date.Year, date.Month, date.Day)
            : null;

    /// <summary>The day of a message that passed its check.</summary>
    public static DateOnly Of(Date date) => new(date.Year, date.Month, date.Day);

    public static string ToColumn(DateOnly day) => day.ToString(Format, CultureInfo.InvariantCulture);

    public static DateOnly FromColumn(string text) => DateOnly.ParseExact(text, Format, CultureInfo.InvariantCulture);

    public static Date ToProto(DateOnly day) => new() { Year = day.Year, Month = day.Month, Day = day.Day };

    public static Date? ToProto(string? column) => column is null ? null : ToProto(FromColumn(column));
}
