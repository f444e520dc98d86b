using System.Globalization;
using Google.Protobuf.WellKnownTypes;

namespace Pourwright.Cli.Kernel;

/// <summary>Spans of time as people write them: a day counts wholly, so that <c>2026-12-24</c> to <c>2026-12-26</c> are three days.</summary>
public static class WrittenSpan
{
    /// <summary>Start and end, the end not included, on the clock of a site.</summary>
    /// <param name="desk">Where the command works.</param>
    /// <param name="from">A time or a day.</param>
    /// <param name="until">A time or a day; may be left out after a day.</param>
    /// <param name="site">Whose clock counts.</param>
    /// <exception cref="FormatException">One of them is no time.</exception>
    /// <exception cref="UsageException">There is no end.</exception>
    public static async Task<(Timestamp Start, Timestamp End)> ReadAsync(Desk desk, string from, string? until, string site) =>
        (await InstantAsync(desk, from, site), await InstantAsync(desk, End(from, until), site));

    /// <summary>What the end is written as: the day after a day.</summary>
    /// <exception cref="UsageException">There is none.</exception>
    public static string End(string from, string? until)
    {
        var last = until ?? (IsDay(from, out _) ? from : throw new UsageException($"Until when? Write --to beside --from '{from}'."));
        return IsDay(last, out var day) && day < DateOnly.MaxValue ? day.AddDays(1).ToString("yyyy-MM-dd", CultureInfo.InvariantCulture) : last;
    }

    private static bool IsDay(string text, out DateOnly day) =>
        DateOnly.TryParseExact(text.Trim(), "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out day);

    private static async Task<Timestamp> InstantAsync(Desk desk, string text, string site) =>
        await desk.WhenAsync(text, WhenSense.Planned, () => Task.FromResult(site)) ?? Timestamp.FromDateTimeOffset(desk.Now);
}
