using Google.Protobuf.WellKnownTypes;

namespace Pourwright.Studio.Storage;

/// <summary>Instants between the three places they live: code (<see cref="DateTimeOffset"/>), columns (`*_ms`, Unix milliseconds UTC), messages (<see cref="Timestamp"/>).</summary>
public static class Instants
{
    /// <summary>Unix milliseconds, UTC; what is finer than a millisecond is cut off, towards the past.</summary>
    public static long ToUnixMs(this DateTimeOffset instant) => instant.ToUnixTimeMilliseconds();

    /// <inheritdoc cref="ToUnixMs(DateTimeOffset)"/>
    /// <exception cref="InvalidOperationException">The timestamp lies outside the years 1 to 9999 or its nanos outside 0 to 999,999,999.</exception>
    public static long ToUnixMs(this Timestamp instant) => instant.ToDateTimeOffset().ToUnixTimeMilliseconds();

    /// <summary>Unix milliseconds of an optional instant; null stays null.</summary>
    public static long? ToUnixMsOrNull(this Timestamp? instant) => instant?.ToUnixMs();

    /// <summary>The instant of a `*_ms` column.</summary>
    public static DateTimeOffset FromUnixMs(long ms) => DateTimeOffset.FromUnixTimeMilliseconds(ms);

    /// <summary>A `*_ms` column for programs to read: `2026-05-02 13:30:00Z`.</summary>
    public static string Utc(long ms) => $"{FromUnixMs(ms):u}";

    /// <summary>A `*_ms` column as a message field.</summary>
    public static Timestamp ToTimestamp(long ms) => Timestamp.FromDateTimeOffset(FromUnixMs(ms));

    /// <summary>An optional `*_ms` column as a message field; null stays unset.</summary>
    public static Timestamp? ToTimestamp(long? ms) => ms is { } value ? ToTimestamp(value) : null;
}
