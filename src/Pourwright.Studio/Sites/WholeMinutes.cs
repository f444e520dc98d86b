using Google.Protobuf.WellKnownTypes;
using Google.Type;
using Pourwright.Studio.Refusals;

namespace Pourwright.Studio.Sites;

/// <summary>Spans and times of the day in whole minutes, as columns keep them.</summary>
public static class WholeMinutes
{
    private const int MinutesADay = 24 * 60;

    /// <summary>A span of whole minutes, limits included; absent is allowed.</summary>
    public static FieldChecks Minutes(this FieldChecks checks, string fieldPath, Duration? span, int leastMinutes, int mostMinutes) => checks.Require(
        span is null || (span is { Nanos: 0 } && span.Seconds % 60 == 0 && span.Seconds / 60 >= leastMinutes && span.Seconds / 60 <= mostMinutes),
        fieldPath, $"must be whole minutes, {leastMinutes} to {mostMinutes}.", span is null ? null : $"{span.Seconds} s");

    /// <summary>A time of the day; absent is allowed.</summary>
    public static FieldChecks TimeOfDay(this FieldChecks checks, string fieldPath, TimeOfDay? time) => checks.Require(
        Of(time) is null or (>= 0 and < MinutesADay), fieldPath, "must be 00:00 to 23:59.", Shown(time));

    /// <summary>Minutes of a span that passed its check; null stays null.</summary>
    public static int? Of(Duration? span) => span is null ? null : (int)(span.Seconds / 60);

    /// <summary>Minute of the day; null stays null.</summary>
    public static int? Of(TimeOfDay? time) => time is null ? null : time.Hours * 60 + time.Minutes;

    public static Duration ToDuration(int minutes) => new() { Seconds = 60L * minutes };

    public static TimeOfDay ToTimeOfDay(int minute) => new() { Hours = minute / 60, Minutes = minute % 60 };

    private static string? Shown(TimeOfDay? time) => time is null ? null : $"{time.Hours:00}:{time.Minutes:00}";
}
