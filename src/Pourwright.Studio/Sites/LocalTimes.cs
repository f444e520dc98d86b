using NodaTime;
using NodaTime.Extensions;
using NodaTime.TimeZones;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Sites;

/// <summary>The instant a local time was taken for, Unix ms, and the release of the time zone data that said so, such as `2025b`.</summary>
public sealed record LocalInstant(long UtcMs, string TzdbVersion);

/// <summary>A time on the clock of a place; minutes from midnight.</summary>
public sealed record LocalMinute(DateOnly Date, int Minute);

/// <summary>Local times of a place and the instants they mean. Nothing is guessed on the two days a year when clocks change.</summary>
/// <remarks>
/// RFC 5545 3.3.5 guesses: a time that clocks skip is read by the offset before the gap, one that comes twice is the first. A guess is
/// right for a calendar on show; for a class it would move people, so that a person is asked here. Both readings are in the refusal.
/// </remarks>
public static class LocalTimes
{
    /// <summary>The instant of <paramref name="minute"/> minutes past midnight by the clock, in an IANA zone.</summary>
    /// <param name="fold">Which of the two, where clocks show the time twice; without meaning elsewhere.</param>
    /// <exception cref="Refusal">LOCAL_TIME_MISSING where clocks skip it, LOCAL_TIME_TWICE where they show it twice and <paramref name="fold"/> is not said; FIELD_INVALID for an unknown zone.</exception>
    public static LocalInstant Resolve(string zone, DateOnly date, int minute, Fold? fold = null)
    {
        var local = date.ToLocalDate().AtMidnight().PlusMinutes(minute);
        var map = ZoneOf(zone).MapLocal(local);
        return map.Count switch
        {
            0 => throw Missing(zone, local, map),
            1 => Of(map.Single()),
            _ => fold switch
            {
                Fold.Earlier => Of(map.First()),
                Fold.Later => Of(map.Last()),
                _ => throw Twice(zone, local, map),
            },
        };
    }

    /// <summary>As <see cref="Resolve"/>, read as RFC 5545 3.3.5 says where clocks skip the time or show it twice: for hours at which nobody is asked to come.</summary>
    /// <exception cref="Refusal">FIELD_INVALID for an unknown zone.</exception>
    public static LocalInstant Nearest(string zone, DateOnly date, int minute) =>
        Of(ZoneOf(zone).AtLeniently(date.ToLocalDate().AtMidnight().PlusMinutes(minute)));

    /// <summary>What the clock of a place shows at an instant, seconds cut off.</summary>
    /// <exception cref="Refusal">FIELD_INVALID for an unknown zone.</exception>
    public static LocalMinute At(string zone, long utcMs)
    {
        var local = Instant.FromUnixTimeMilliseconds(utcMs).InZone(ZoneOf(zone)).LocalDateTime;
        return new(local.Date.ToDateOnly(), local.Hour * 60 + local.Minute);
    }

    private static LocalInstant Of(ZonedDateTime time) =>
        new(time.ToInstant().ToUnixTimeMilliseconds(), TzdbDateTimeZoneSource.Default.TzdbVersion);

    private static DateTimeZone ZoneOf(string zone) => DateTimeZoneProviders.Tzdb.GetZoneOrNull(zone)
        ?? throw Refusal.Invalid("time_zone", zone, $"is not in the time zone data of this node ({TzdbDateTimeZoneSource.Default.TzdbVersion}). Give the site an IANA zone name, for example Europe/Lisbon.");

    /// <summary>Read by the offset after the gap it is the earlier instant, by the offset before it (RFC 5545 3.3.5) the later one.</summary>
    private static Refusal Missing(string zone, LocalDateTime local, ZoneLocalMapping map)
    {
        var (before, after) = (map.EarlyInterval, map.LateInterval);
        return Refusal.Precondition(Reasons.LocalTimeMissing,
            $"There is no {local:HH:mm} on {local:yyyy-MM-dd} in {zone}: clocks are put forward from {before.IsoLocalEnd:HH:mm} to {after.IsoLocalStart:HH:mm}. Choose a time before or after.",
            Facts(zone, local, local.WithOffset(after.WallOffset).ToInstant(), local.WithOffset(before.WallOffset).ToInstant(),
                [("clock_before", $"{before.IsoLocalEnd:HH:mm}"), ("clock_after", $"{after.IsoLocalStart:HH:mm}")]));
    }

    private static Refusal Twice(string zone, LocalDateTime local, ZoneLocalMapping map)
    {
        var (first, second) = (map.First().ToInstant(), map.Last().ToInstant());
        return Refusal.Precondition(Reasons.LocalTimeTwice,
            $"{local:HH:mm} comes twice on {local:yyyy-MM-dd} in {zone}: at {Utc(first)} and, after clocks were put back, at {Utc(second)}. Say which by fold: EARLIER or LATER.",
            Facts(zone, local, first, second, []));
    }

    private static (string, string)[] Facts(string zone, LocalDateTime local, Instant earlier, Instant later, (string, string)[] more) =>
    [
        ("local_time", $"{local:yyyy-MM-dd HH:mm}"), ("time_zone", zone), ("earlier_time", Utc(earlier)), ("later_time", Utc(later)), .. more,
    ];

    private static string Utc(Instant instant) => Instants.Utc(instant.ToUnixTimeMilliseconds());
}
