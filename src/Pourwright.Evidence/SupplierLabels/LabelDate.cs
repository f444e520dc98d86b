using System.Globalization;

namespace Pourwright.Evidence.SupplierLabels;

/// <summary>Dates of a label: two digits each of year, month and day.</summary>
public static class LabelDate
{
    /// <summary>Null where it is no date. Day 00 is the last of its month.</summary>
    /// <param name="currentYear">The two digits are read as the year nearest to it.</param>
    /// <remarks>
    /// GS1 General Specifications, section 7.12, from memory: 51 or more ahead is the last century, 50 or more behind the next; the
    /// meaning of day 00 from memory as well.
    /// </remarks>
    public static DateOnly? Of(string yymmdd, int currentYear)
    {
        if (yymmdd.Length != 6 || !yymmdd.All(char.IsAsciiDigit))
            return null;
        var (year, month, day) = (Year(Two(yymmdd, 0), currentYear), Two(yymmdd, 2), Two(yymmdd, 4));
        if (month is < 1 or > 12 || day > DateTime.DaysInMonth(year, month))
            return null;
        return new(year, month, day == 0 ? DateTime.DaysInMonth(year, month) : day);
    }

    private static int Year(int digits, int currentYear)
    {
        var year = currentYear - currentYear % 100 + digits;
        return (digits - currentYear % 100) switch
        {
            >= 51 => year - 100,
            <= -50 => year + 100,
            _ => year,
        };
    }

    private static int Two(string text, int at) => int.Parse(text.AsSpan(at, 2), CultureInfo.InvariantCulture);
}
