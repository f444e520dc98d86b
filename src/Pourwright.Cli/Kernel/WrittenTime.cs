using System.Globalization;
using System.Text.RegularExpressions;

namespace Pourwright.Cli.Kernel;

/// <summary>Whether a bare clock time speaks of what was or of what is planned.</summary>
public enum WhenSense
{
    /// <summary>It happened: 14:30 at 10:00 is a slip.</summary>
    Happened,

    /// <summary>It is planned: 09:00 at 10:00 is a slip.</summary>
    Planned,
}

/// <summary>
/// Times as people write them: <c>now</c>, <c>14:30</c>, <c>yesterday 17:05</c>, <c>tomorrow 09:00</c>,
/// <c>2026-05-03 14:30</c>, <c>20min ago</c>, <c>in 2d</c>, all local to the site, or ISO 8601 with an offset.
/// </summary>
public static partial class WrittenTime
{
    /// <summary>A clock that runs a little ahead must not refuse what was done just now.</summary>
    private static readonly TimeSpan Slack = TimeSpan.FromMinutes(5);

    private static readonly string[] LocalFormats =
        ["yyyy-MM-dd", "yyyy-MM-dd HH:mm", "yyyy-MM-ddTHH:mm", "yyyy-MM-dd HH:mm:ss", "yyyy-MM-ddTHH:mm:ss", "yyyy-MM-ddTHH:mm:ss.FFF"];

    private static readonly string[] OffsetFormats =
        ["yyyy-MM-ddTHH:mmK", "yyyy-MM-dd HH:mmK", "yyyy-MM-ddTHH:mm:ssK", "yyyy-MM-dd HH:mm:ssK", "yyyy-MM-ddTHH:mm:ss.FFFFFFFK"];

    /// <summary>The instant, or nothing for <c>now</c>, which the server then fills in.</summary>
    /// <param name="text">What was written.</param>
    /// <param name="zone">The site's zone; nothing where several sites disagree, and then only times with an offset are read.</param>
    /// <param name="now">The present instant.</param>
    /// <param name="sense">What a bare clock time speaks of.</param>
    /// <exception cref="FormatException">
    /// It is no time or none of the calendar's, lies in the hour that a clock change leaves out or repeats, or is a bare clock time on the wrong side
    /// of now.
    /// </exception>
    public static DateTimeOffset? Parse(string text, TimeZoneInfo? zone, DateTimeOffset now, WhenSense sense)
    {
        try
        {
            return Instant(text, zone, now, sense);
        }
        catch (ArgumentOutOfRangeException)
        {
            throw new FormatException($"'{text}' is out of reach: write a time of the years 1 to 9999.");
        }
    }

    private static DateTimeOffset? Instant(string text, TimeZoneInfo? zone, DateTimeOffset now, WhenSense sense)
    {
        var words = text.Trim();
        if (words.Equals("now", StringComparison.OrdinalIgnoreCase))
            return null;
        return Relative(words, now)
            ?? OnDay(words, zone, now, sense)
            ?? (DateTime.TryParseExact(words, LocalFormats, CultureInfo.InvariantCulture, DateTimeStyles.None, out var local)
                ? InZone(local, zone, text)
                : DateTimeOffset.TryParseExact(words, OffsetFormats, CultureInfo.InvariantCulture, DateTimeStyles.None, out var instant)
                    ? instant.ToUniversalTime()
                    : throw new FormatException(
                        $"'{text}' is not a time: write now, 14:30, yesterday 14:30, 2026-05-03 14:30, 20min ago or an ISO time with its offset."));
    }

    private static DateTimeOffset? Relative(string words, DateTimeOffset now)
    {
        if (words.EndsWith(" ago", StringComparison.OrdinalIgnoreCase))
            return now - Span.Parse(words[..^4]).Length;
        return words.StartsWith("in ", StringComparison.OrdinalIgnoreCase) ? now + Span.Parse(words[3..]).Length : null;
    }

    private static DateTimeOffset? OnDay(string words, TimeZoneInfo? zone, DateTimeOffset now, WhenSense sense)
    {
        var match = DayAndClock().Match(words);
        if (!match.Success || !TimeOnly.TryParseExact(match.Groups["clock"].Value, ["H:mm", "H:mm:ss"], out var clock))
            return null;
        var day = match.Groups["day"].Value.ToLowerInvariant();
        var today = DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(now, Known(zone, words)).DateTime);
        var shift = day switch { "yesterday" => -1, "tomorrow" => 1, _ => 0 };
        var instant = InZone(today.AddDays(shift).ToDateTime(clock), zone, words);
        return day != "" ? instant : sense switch
        {
            WhenSense.Happened when instant > now + Slack => throw new FormatException(
                $"{words} is still to come: write 'yesterday {words}' or the full date."),
            WhenSense.Planned when instant < now => throw new FormatException(
                $"{words} is past: write 'tomorrow {words}' or the full date."),
            _ => instant,
        };
    }

    private static DateTimeOffset InZone(DateTime local, TimeZoneInfo? zone, string text)
    {
        var known = Known(zone, text);
        if (known.IsInvalidTime(local))
            throw new FormatException($"'{text}' does not exist in {known.Id}: the clocks go forward over it.");
        if (known.IsAmbiguousTime(local))
            throw new FormatException($"'{text}' comes twice in {known.Id}: write it with its offset, {Passes(local, known)}.");
        return new DateTimeOffset(local, known.GetUtcOffset(local)).ToUniversalTime();
    }

    /// <summary>The first pass, by the larger offset, and the second.</summary>
    private static string Passes(DateTime local, TimeZoneInfo zone) => string.Join(
        " or ", zone.GetAmbiguousTimeOffsets(local).OrderDescending().Select(offset => new DateTimeOffset(local, offset).ToString("yyyy-MM-ddTHH:mm:ssK", CultureInfo.InvariantCulture)));

    private static TimeZoneInfo Known(TimeZoneInfo? zone, string text) =>
        zone ?? throw new FormatException($"'{text}' needs an offset, for example 2026-05-03T14:30+01:00: the sites lie in several time zones.");

    [GeneratedRegex(@"^((?<day>today|yesterday|tomorrow)\s+)?(?<clock>[0-9]{1,2}:[0-9]{2}(:[0-9]{2})?)$", RegexOptions.IgnoreCase)]
    private static partial Regex DayAndClock();
}
