using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Trace;

/// <summary>A bench on a local day, in Unix ms; 23 or 25 hours where the clocks change.</summary>
public sealed record BenchDay(string Bench, DateOnly Day, long FromMs, long ToMs)
{
    public static BenchDay Of(Pour pour, TimeZoneInfo zone)
    {
        var day = DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(pour.PourTime.ToDateTimeOffset(), zone).DateTime);
        return new(pour.Bench, day, Midnight(day, zone), Midnight(day.AddDays(1), zone));
    }

    // Where the clocks skip midnight, the day begins at what would have been midnight by the old offset.
    private static long Midnight(DateOnly day, TimeZoneInfo zone)
    {
        var local = day.ToDateTime(TimeOnly.MinValue);
        return new DateTimeOffset(local, zone.GetUtcOffset(zone.IsInvalidTime(local) ? local.AddHours(-2) : local)).ToUnixMs();
    }
}
