using Google.Protobuf.WellKnownTypes;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Lots;

/// <summary>When something happened, as told by a device.</summary>
public static class EventTime
{
    /// <summary>How far a device's clock may run ahead; what it tells within that counts as now. Common practice, no source.</summary>
    public static readonly TimeSpan ClockAllowance = TimeSpan.FromMinutes(5);

    /// <summary>Unix ms of <paramref name="told"/>; <paramref name="nowMs"/> where nothing is told.</summary>
    /// <exception cref="Refusal">TIME_IN_FUTURE.</exception>
    public static long OrNow(Timestamp? told, long nowMs, string fieldPath)
    {
        if (told is null) return nowMs;
        var toldMs = told.ToUnixMs();
        if (toldMs <= nowMs + ClockAllowance.TotalMilliseconds) return Math.Min(toldMs, nowMs);
        throw Refusal.InvalidField(Reasons.TimeInFuture, fieldPath, $"{Instants.FromUnixMs(toldMs):u}",
            $"lies ahead of the studio's clock, which says {Instants.FromUnixMs(nowMs):u}. Check the device's clock, or leave the time out: it is now then.");
    }
}
