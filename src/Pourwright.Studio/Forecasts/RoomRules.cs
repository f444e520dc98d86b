using Pourwright.Studio.Climate;

namespace Pourwright.Studio.Forecasts;

/// <summary>How a room goes on: from its air so far and an instant to its air at any later one, in °C.</summary>
/// <param name="GoesOn">The rule.</param>
/// <param name="SinceMs">The earliest instant from which the record is enough to try it.</param>
/// <param name="Words">What is taken, in a sentence.</param>
/// <param name="Repeats">The last day repeats; else the last value holds.</param>
internal sealed record RoomRule(Func<AirCurve, long, Func<long, double>> GoesOn, long SinceMs, string Words, bool Repeats = false);

/// <summary>The rules of a room of which nothing is said: its last day repeats, or its last reading holds.</summary>
/// <remarks>
/// The curve counts, not its mean: with a daily swing of 5 K and the same mean a casting peaks at 73 °C on the rising half and at
/// 42.5 °C on the falling half (computed with the engine's illustrative deep-casting resin, no measurement). So a day that is known
/// well enough, and was like the day before it, repeats hour by hour; else the last reading holds.
/// </remarks>
internal static class RoomRules
{
    private const long HourMs = 3_600_000;
    private const long DayMs = 24 * HourMs;

    /// <summary>So much of each of two days must be known for one to repeat. Common practice, no source.</summary>
    private const long KnownDayMs = 20 * HourMs;

    /// <summary>Over this the repeated day is joined to the last reading: today's weather is not yesterday's, its heating is. Our choice.</summary>
    private const long JoinMs = 6 * HourMs;

    /// <summary>A day repeats if none of its hours lay further than this, in K, from the same hour of the day before: weather is slower, somebody switched the heating. Our choice.</summary>
    private const double SameDayKelvin = 3;

    /// <summary>Level from any instant on.</summary>
    public static RoomRule Hold(AirCurve curve, string words) => new(Held, curve.FirstMs, words);

    /// <summary>The rule that suits a bench with readings.</summary>
    public static RoomRule Of(BenchStay here, AirCurve curve, long nowMs)
    {
        var last = $"the last reading, {Spoken.Degrees(curve.LastCelsius)}";
        return WhyNotRepeated(here, curve, nowMs) is { } why
            ? Hold(curve, $"It stays at {last}: {why}.")
            : new(RepeatedDay, curve.FirstMs + DayMs, $"The last day repeats, joined to {last}, over six hours.", Repeats: true);
    }

    /// <summary>Instants an hour apart, the last at or after the end.</summary>
    public static IEnumerable<long> Hourly(long fromMs, long toMs)
    {
        for (var ms = fromMs; ms < toMs + HourMs; ms += HourMs) yield return ms;
    }

    /// <summary>Why the last day says nothing of the next; null where it does.</summary>
    private static string? WhyNotRepeated(BenchStay here, AirCurve curve, long nowMs)
    {
        if (CoveredMs(here, nowMs - DayMs, nowMs) < KnownDayMs || CoveredMs(here, nowMs - 2 * DayMs, nowMs - DayMs) < KnownDayMs)
            return "too little of the last two days is known to repeat one";
        var apart = Hourly(curve.LastMs - DayMs, curve.LastMs - HourMs).Max(ms => Math.Abs(curve.At(ms) - curve.At(ms - DayMs)));
        return apart > SameDayKelvin ? $"the last day was up to {Spoken.Degrees(apart)} from the day before, as if the heating had been switched" : null;
    }

    private static long CoveredMs(BenchStay here, long fromMs, long toMs) => ClimateSpans.Over(here.Readings, fromMs, toMs, here.IntervalMs).CoveredMs;

    private static Func<long, double> Held(AirCurve curve, long fromMs)
    {
        var celsius = curve.At(fromMs);
        return _ => celsius;
    }

    /// <summary>The last day over and over. It begins each day at the value it goes on from and comes back to it, so that it never jumps.</summary>
    private static Func<long, double> RepeatedDay(AirCurve curve, long fromMs)
    {
        var dayStartMs = fromMs - DayMs;
        var offset = curve.At(fromMs) - curve.At(dayStartMs);
        return ms =>
        {
            var inDayMs = (ms - fromMs) % DayMs;
            return curve.At(dayStartMs + inDayMs) + offset * Math.Max(0, 1 - (double)inDayMs / JoinMs);
        };
    }
}
