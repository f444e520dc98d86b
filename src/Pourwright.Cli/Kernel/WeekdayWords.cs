using DayOfWeek = Google.Type.DayOfWeek;

namespace Pourwright.Cli.Kernel;

/// <summary>Weekdays as people write them: <c>mon-fri</c>, <c>sat,sun</c>, <c>fri-mon</c>.</summary>
public static class WeekdayWords
{
    private const int DaysAWeek = 7;

    private static readonly DayOfWeek[] Week = [.. Enum.GetValues<DayOfWeek>().Where(day => day != DayOfWeek.Unspecified).Order()];

    /// <summary>The days named, Monday first, each once; three letters of a day are enough.</summary>
    /// <exception cref="FormatException">A word is no day.</exception>
    public static IReadOnlyList<DayOfWeek> Parse(string text) =>
        [.. text.Split(',').SelectMany(part => Days(part, text)).Distinct().Order()];

    /// <summary>For example <c>Mon to Fri, Sun</c>; <c>every day</c> for all seven.</summary>
    public static string Of(IEnumerable<DayOfWeek> days)
    {
        var set = days.ToHashSet();
        return set.Count == DaysAWeek ? "every day" : string.Join(", ", Runs(set).Select(Run));
    }

    private static IEnumerable<DayOfWeek> Days(string part, string text)
    {
        if (part.Split('-') is not [var first, .. var rest] || rest.Length > 1)
            throw NoDay(part, text);
        var (from, to) = (Day(first, text), Day(rest.Length == 0 ? first : rest[0], text));
        var count = (to - from + DaysAWeek) % DaysAWeek + 1;
        return Enumerable.Range(0, count).Select(i => Week[((int)from - 1 + i) % DaysAWeek]);
    }

    private static DayOfWeek Day(string word, string text) => word.Trim() is { Length: >= 3 } start
        && Week.Where(day => day.ToString().StartsWith(start, StringComparison.OrdinalIgnoreCase)).ToList() is [var day]
            ? day
            : throw NoDay(word, text);

    private static FormatException NoDay(string word, string text) =>
        new($"'{word.Trim()}' in '{text}' is no day: write mon-fri, sat,sun or wed.");

    /// <summary>Days that follow each other, Monday to Sunday.</summary>
    private static IEnumerable<List<DayOfWeek>> Runs(HashSet<DayOfWeek> set) => Week.Where(set.Contains)
        .GroupBy(day => Week.Count(other => other < day && !set.Contains(other)), (_, run) => run.ToList());

    private static string Run(List<DayOfWeek> run) => run.Count > 2 ? $"{Short(run[0])} to {Short(run[^1])}" : string.Join(", ", run.Select(Short));

    private static string Short(DayOfWeek day) => day.ToString()[..3];
}
