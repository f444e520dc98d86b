using Pourwright.Studio.Refusals;
using DayOfWeek = Google.Type.DayOfWeek;

namespace Pourwright.Studio.Sites;

/// <summary>A set of weekdays: a list in a message, bits in a column (1 &lt;&lt; (weekday − 1), Monday 1), a set for planning.</summary>
public static class Weekdays
{
    /// <summary>Monday to Sunday.</summary>
    public const int All = 127;

    private static readonly DayOfWeek[] Week = [.. Enum.GetValues<DayOfWeek>().Where(day => day != DayOfWeek.Unspecified).Order()];

    /// <summary>The bits of the days named; of all where none is.</summary>
    public static int BitsOrAll(IReadOnlyCollection<DayOfWeek> days) => days.Count == 0 ? All : days.Aggregate(0, (bits, day) => bits | Bit(day));

    /// <summary>The days of the bits, Monday first.</summary>
    public static IEnumerable<DayOfWeek> List(int bits) => Week.Where(day => (bits & Bit(day)) != 0);

    /// <summary>The days of the bits, as the calendar counts them: Sunday is 0.</summary>
    public static IReadOnlySet<System.DayOfWeek> Set(int bits) => List(bits).Select(day => (System.DayOfWeek)((int)day % 7)).ToHashSet();

    /// <summary>Each must be a day of the week.</summary>
    public static FieldChecks Days(this FieldChecks checks, string fieldPath, IEnumerable<DayOfWeek> days) => checks.Require(
        days.All(day => day is >= DayOfWeek.Monday and <= DayOfWeek.Sunday), fieldPath, "must name days from MONDAY to SUNDAY.", string.Join(", ", days));

    private static int Bit(DayOfWeek day) => 1 << ((int)day - 1);
}
