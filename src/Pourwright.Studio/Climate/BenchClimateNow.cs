using Google.Protobuf.WellKnownTypes;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Climate;

/// <summary>What the last reading says of a bench, and how much it is still worth.</summary>
public static class BenchClimateNow
{
    /// <summary>The climate at a bench; <paramref name="last"/> is null where nothing was ever read there, which is silence too.</summary>
    public static V1.BenchClimate Describe(string bench, ReadingRecord? last, long intervalMs, DateTimeOffset now)
    {
        if (last is null) return new V1.BenchClimate { Bench = bench, Silent = true };
        var climate = new V1.BenchClimate
        {
            Bench = bench,
            Reading = last.ToProto(),
            Age = Duration.FromTimeSpan(TimeSpan.FromMilliseconds(Math.Max(0, now.ToUnixMs() - last.ReadingMs))),
            Silent = IsSilent(last.ReadingMs, intervalMs, now),
        };
        if (DewPointMargin.DewPointCelsius(last) is { } dewPoint) climate.DewPointCelsius = dewPoint;
        if (DewPointMargin.Kelvin(last) is { } margin) climate.DewPointMarginCelsius = margin;
        return climate;
    }

    /// <summary>Has a sensor missed so many reports that there is a gap by now?</summary>
    public static bool IsSilent(long lastReadingMs, long intervalMs, DateTimeOffset now) =>
        now.ToUnixMs() - lastReadingMs > ClimateSpans.IntervalsToGap * intervalMs;
}
