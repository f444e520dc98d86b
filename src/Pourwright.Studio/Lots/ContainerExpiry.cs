namespace Pourwright.Studio.Lots;

/// <summary>From when on a container is refused.</summary>
public static class ContainerExpiry
{
    /// <summary>Unix ms: the start of its lots' first expiry date in <paramref name="zone"/>, or the end of its opened shelf life, whichever is first; null where neither is known.</summary>
    public static long? ExpireMs(IEnumerable<LotRecord> lots, TimeZoneInfo zone, long? openMs, long? openedShelfLifeMs) =>
        First(lots.Min(lot => lot.Expiry()) is { } day ? StartOfDayMs(day, zone) : null, openMs + openedShelfLifeMs);

    /// <summary>The earlier of two instants, where null is never.</summary>
    public static long? First(long? oneMs, long? otherMs) =>
        oneMs is null ? otherMs : otherMs is null ? oneMs : Math.Min(oneMs.Value, otherMs.Value);

    /// <summary>Unix ms of the first instant of a day: where clocks skip midnight it is the first time that exists, where midnight comes twice the first of the two.</summary>
    public static long StartOfDayMs(DateOnly day, TimeZoneInfo zone)
    {
        var start = day.ToDateTime(TimeOnly.MinValue);
        while (zone.IsInvalidTime(start)) start = start.AddMinutes(1);
        var offset = zone.IsAmbiguousTime(start) ? zone.GetAmbiguousTimeOffsets(start).Max() : zone.GetUtcOffset(start);
        return new DateTimeOffset(start, offset).ToUnixTimeMilliseconds();
    }
}
