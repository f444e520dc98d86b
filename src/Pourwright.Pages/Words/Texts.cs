using System.Globalization;
using System.Resources;

namespace Pourwright.Pages.Words;

/// <summary>What the pages say, in one language. English first; every key stands in both files.</summary>
public sealed class Texts
{
    private static readonly NumberFormatInfo Point = NumberFormatInfo.InvariantInfo;
    private static readonly NumberFormatInfo Comma = new() { NumberDecimalSeparator = ",", NumberGroupSeparator = "." };

    private static readonly Dictionary<string, Texts> All = new()
    {
        ["en"] = new("en", Point),
        ["de"] = new("de", Comma),
    };

    private readonly ResourceManager _resources;
    private readonly string[] _days, _months;

    private Texts(string language, NumberFormatInfo numbers)
    {
        Language = language;
        Numbers = numbers;
        _resources = new ResourceManager($"Texts.{language}", typeof(Texts).Assembly);
        _days = this["Days"].Split(' ');
        _months = this["Months"].Split(' ');
    }

    /// <summary>Languages there are, as of RFC 5646.</summary>
    public static IEnumerable<string> Languages => All.Keys;

    /// <summary>`en` or `de`.</summary>
    public string Language { get; }

    /// <summary>How numbers are written.</summary>
    public NumberFormatInfo Numbers { get; }

    /// <summary>The text of a key.</summary>
    /// <exception cref="KeyNotFoundException">Nothing is said for it.</exception>
    public string this[string key] => Find(key) ?? throw new KeyNotFoundException($"No text for {key} in {Language}.");

    /// <summary>The text of a key; null where there is none.</summary>
    public string? Find(string key) => _resources.GetString(key, CultureInfo.InvariantCulture);

    /// <summary>The text of a key with values in it.</summary>
    public string Say(string key, params object[] values) => string.Format(Numbers, this[key], values);

    /// <summary>The language as asked for; English where there is no such.</summary>
    public static Texts In(string? language) => language is not null && All.TryGetValue(language, out var texts) ? texts : All["en"];

    /// <summary>Every key with its text, of a part of the pages: `Bench.` for those that begin so.</summary>
    public SortedDictionary<string, string> Beginning(string prefix)
    {
        var set = _resources.GetResourceSet(CultureInfo.InvariantCulture, createIfNotExists: true, tryParents: false)!;
        var texts = set.Cast<System.Collections.DictionaryEntry>().Where(entry => ((string)entry.Key).StartsWith(prefix, StringComparison.Ordinal));
        return new(texts.ToDictionary(entry => (string)entry.Key, entry => (string)entry.Value!), StringComparer.Ordinal);
    }

    /// <summary>`Thu 26 Nov 17:16`, by the clock of a zone.</summary>
    public string When(DateTimeOffset instant, TimeZoneInfo zone)
    {
        var local = TimeZoneInfo.ConvertTime(instant, zone);
        return Say("When", _days[(int)local.DayOfWeek], local.Day, _months[local.Month - 1], local.ToString("HH:mm", CultureInfo.InvariantCulture));
    }

    /// <summary>`Thu 17:16` within six days, else with its date: short enough for a wall.</summary>
    public string Soon(DateTimeOffset instant, DateTimeOffset now, TimeZoneInfo zone)
    {
        var local = TimeZoneInfo.ConvertTime(instant, zone);
        return (instant - now).Duration() < TimeSpan.FromDays(6)
            ? $"{_days[(int)local.DayOfWeek]} {local.ToString("HH:mm", CultureInfo.InvariantCulture)}"
            : When(instant, zone);
    }

    /// <summary>`Thu 26 Nov`.</summary>
    public string Day(DateTimeOffset instant, TimeZoneInfo zone)
    {
        var local = TimeZoneInfo.ConvertTime(instant, zone);
        return Say("Day", _days[(int)local.DayOfWeek], local.Day, _months[local.Month - 1]);
    }

    /// <summary>`Thu 26 Nov`, of a day on a calendar.</summary>
    public string Day(DateOnly day) => Day(new DateTimeOffset(day.ToDateTime(default), TimeSpan.Zero), TimeZoneInfo.Utc);

    /// <summary>`2 d 4 h`, `3 h 20 min`, `12 min`; never negative.</summary>
    public string Span(TimeSpan span)
    {
        var minutes = (long)Math.Max(0, Math.Floor(span.TotalMinutes));
        return minutes >= 48 * 60 ? Say("SpanDays", minutes / 1440, minutes % 1440 / 60)
            : minutes >= 60 ? Say("SpanHours", minutes / 60, minutes % 60)
            : Say("SpanMinutes", minutes);
    }
}
