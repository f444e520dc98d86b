using System.Globalization;
using Pourwright.Cure.Readiness;
using Pourwright.Studio.Climate;
using Pourwright.Studio.Refusals;

namespace Pourwright.Studio.Forecasts;

/// <summary>A bench where a piece stands or stood, with what is known of its air. Times in Unix ms.</summary>
public sealed record BenchStay
{
    /// <summary>Since when the piece stands there; the first time at its first pour.</summary>
    public required long FromMs { get; init; }

    /// <summary>Readings of the bench in order, with some before and after the stay: they carry the lines over its ends, and the last day of the present bench.</summary>
    public required IReadOnlyList<ReadingRecord> Readings { get; init; }

    /// <summary>How often the bench is reported on.</summary>
    public required long IntervalMs { get; init; }

    /// <summary>What the room is meant to be held at, in °C; null where nothing is said.</summary>
    public double? PlannedCelsius { get; init; }
}

/// <summary>The room that a forecast reckons with.</summary>
/// <param name="Ambient">Air from the first pour on, in h from it, as close as a logger measures; the last point holds on.</param>
/// <param name="Assumption">In words: what was taken from the last reading on.</param>
/// <param name="LastReadingMs">The last reading used; null where there is none.</param>
/// <param name="GapMs">Time since the first pour without readings.</param>
/// <param name="Cautions">What is not known of the room.</param>
public sealed record RoomCourse(
    IReadOnlyList<AmbientPoint> Ambient, string Assumption, long? LastReadingMs, long GapMs, IReadOnlyList<V1.Caution> Cautions)
{
    /// <summary>Air at a time, in h from the first pour, as the engine reads it: in °C.</summary>
    public double CelsiusAt(double atHours)
    {
        var next = 0;
        while (next < Ambient.Count && Ambient[next].AtHours < atHours) next++;
        if (next == 0) return Ambient[0].TemperatureCelsius;
        if (next == Ambient.Count) return Ambient[^1].TemperatureCelsius;
        var (a, b) = (Ambient[next - 1], Ambient[next]);
        return a.TemperatureCelsius + (b.TemperatureCelsius - a.TemperatureCelsius) * (atHours - a.AtHours) / (b.AtHours - a.AtHours);
    }
}

/// <summary>From readings to the air around a piece: as read up to the last one, by its pattern after that.</summary>
/// <remarks>
/// The curve counts, not its mean: with a daily swing of 5 K and the same mean a casting peaks at 73 °C on the rising half and at
/// 42.5 °C on the falling half (computed with the engine's illustrative deep-casting resin, no measurement). So a day that is known
/// well enough, and was like the day before it, repeats hour by hour; else the last reading holds.
/// A gap is bridged by a straight line for the computation only; its length is told, and the record stays as it is.
/// </remarks>
public static class RoomForecast
{
    public const string RoomUnknownFor = "ROOM_UNKNOWN_FOR";
    public const string RoomUnknown = "ROOM_UNKNOWN";
    public const string SensorSilent = "SENSOR_SILENT";
    public const string RoomOutOfRange = "ROOM_OUT_OF_RANGE";

    /// <summary>A room with people in it, where nothing is known, in °C: common practice, no source.</summary>
    public const double UnknownRoomCelsius = 20;

    /// <summary>Air that the engine takes, in °C.</summary>
    private const double ColdestCelsius = -10, WarmestCelsius = 50;

    private const long HourMs = 3_600_000;
    private const long DayMs = 24 * HourMs;

    /// <summary>So much of each of two days must be known for one to repeat. Common practice, no source.</summary>
    private const long KnownDayMs = 20 * HourMs;

    /// <summary>Over this the repeated day is joined to the last reading: today's weather is not yesterday's, its heating is. Our choice.</summary>
    private const long JoinMs = 6 * HourMs;

    /// <summary>A day repeats if none of its hours lay further than this, in K, from the same hour of the day before: weather is slower, somebody switched the heating. Our choice.</summary>
    private const double SameDayKelvin = 3;

    /// <summary>Carrying a piece to another bench: between two rooms the air changes over a minute, not at once.</summary>
    private const long CarryMs = 60_000;

    /// <summary>The room of a piece from its first pour to <paramref name="horizonMs"/>.</summary>
    /// <param name="stays">Where it stands and stood, in order, the present bench last; the first stay begins at the first pour.</param>
    public static RoomCourse Course(IReadOnlyList<BenchStay> stays, long nowMs, long horizonMs)
    {
        var (pourMs, here) = (stays[0].FromMs, stays[^1]);
        var future = Future(here, nowMs, horizonMs);
        (long Ms, double Celsius)[] air = [.. stays.SkipLast(1).Zip(stays.Skip(1)).SelectMany(Left), .. Here(here, future)];
        var gapMs = stays.Zip([.. stays.Skip(1).Select(stay => stay.FromMs), Math.Max(nowMs, here.FromMs)], GapMs).Sum();
        return new RoomCourse(
            [.. AirLines.Straightened(air).Select(point => new AmbientPoint((double)(point.Ms - pourMs) / HourMs, Math.Clamp(point.Celsius, ColdestCelsius, WarmestCelsius)))],
            future.Words,
            stays.SelectMany(stay => stay.Readings).Select(reading => (long?)reading.ReadingMs).Max(),
            gapMs,
            [.. Doubts(stays, future, gapMs, nowMs, air)]);
    }

    /// <summary>How the air goes on: a value at any instant, how far apart it must be asked for, and in words.</summary>
    private sealed record Outlook(long FromMs, Func<long, double> At, IReadOnlyList<long> Times, string Words);

    private static Outlook Future(BenchStay here, long nowMs, long horizonMs)
    {
        if (AirCurve.Of(here.Readings) is not { } curve) return Assumed(here);
        var fromMs = Math.Max(curve.LastMs, here.FromMs);
        var silent = BenchClimateNow.IsSilent(curve.LastMs, here.IntervalMs, DateTimeOffset.FromUnixTimeMilliseconds(nowMs))
            ? $" Its sensor has been silent for {Span(nowMs - curve.LastMs)}."
            : "";
        var last = $"the last reading, {Degrees(curve.LastCelsius)}";
        return WhyNotRepeated(here, curve, nowMs) is { } why
            ? new(fromMs, _ => curve.LastCelsius, [fromMs], $"It stays at {last}: {why}.{silent}")
            : new(fromMs, RepeatedDay(curve), Hourly(fromMs, horizonMs), $"The last day repeats, joined to {last}, over six hours.{silent}");
    }

    /// <summary>Why the last day says nothing of the next; null where it does.</summary>
    private static string? WhyNotRepeated(BenchStay here, AirCurve curve, long nowMs)
    {
        if (CoveredMs(here, nowMs - DayMs, nowMs) < KnownDayMs || CoveredMs(here, nowMs - 2 * DayMs, nowMs - DayMs) < KnownDayMs)
            return "too little of the last two days is known to repeat one";
        var apart = Hourly(curve.LastMs - DayMs, curve.LastMs - HourMs).Max(ms => Math.Abs(curve.At(ms) - curve.At(ms - DayMs)));
        return apart > SameDayKelvin ? $"the last day was up to {Degrees(apart)} from the day before, as if the heating had been switched" : null;
    }

    private static long CoveredMs(BenchStay here, long fromMs, long toMs) => ClimateSpans.Over(here.Readings, fromMs, toMs, here.IntervalMs).CoveredMs;

    private static Outlook Assumed(BenchStay here) => here.PlannedCelsius is { } planned
        ? new(here.FromMs, _ => planned, [here.FromMs], $"No reading at this bench: its planned {Degrees(planned)} throughout.")
        : new(here.FromMs, _ => UnknownRoomCelsius, [here.FromMs], $"No reading at this bench and no planned temperature: {Degrees(UnknownRoomCelsius)} throughout.");

    /// <summary>The last day over and over. It begins each day at the last reading and comes back to it, so that it never jumps.</summary>
    private static Func<long, double> RepeatedDay(AirCurve curve)
    {
        var dayStartMs = curve.LastMs - DayMs;
        var offset = curve.LastCelsius - curve.At(dayStartMs);
        return ms =>
        {
            var inDayMs = (ms - curve.LastMs) % DayMs;
            return curve.At(dayStartMs + inDayMs) + offset * Math.Max(0, 1 - (double)inDayMs / JoinMs);
        };
    }

    private static List<long> Hourly(long fromMs, long toMs)
    {
        List<long> times = [];
        for (var ms = fromMs; ms < toMs + HourMs; ms += HourMs) times.Add(ms);
        return times;
    }

    /// <summary>The air of a bench that the piece has left.</summary>
    private static IEnumerable<(long Ms, double Celsius)> Left((BenchStay Stay, BenchStay Next) pair)
    {
        var (fromMs, toMs) = (pair.Stay.FromMs, Math.Max(pair.Stay.FromMs, pair.Next.FromMs - CarryMs));
        return toMs == pair.Next.FromMs ? []
            : AirCurve.Of(pair.Stay.Readings)?.Between(fromMs, toMs)
                ?? [(fromMs, pair.Stay.PlannedCelsius ?? UnknownRoomCelsius), (toMs, pair.Stay.PlannedCelsius ?? UnknownRoomCelsius)];
    }

    private static IEnumerable<(long Ms, double Celsius)> Here(BenchStay here, Outlook future) =>
    [
        .. (AirCurve.Of(here.Readings)?.Between(here.FromMs, future.FromMs) ?? []).Where(point => point.Ms < future.FromMs),
        .. future.Times.Select(ms => (ms, future.At(ms))),
    ];

    private static long GapMs(BenchStay stay, long toMs) => ClimateSpans.Over(stay.Readings, stay.FromMs, toMs, stay.IntervalMs).GapMs;

    private static IEnumerable<V1.Caution> Doubts(
        IReadOnlyList<BenchStay> stays, Outlook future, long gapMs, long nowMs, IEnumerable<(long Ms, double Celsius)> air)
    {
        var here = stays[^1];
        if (here.Readings.Count == 0 && here.PlannedCelsius is null)
            yield return Cautions.Of(
                RoomUnknown,
                $"Nothing is known of this room; {Degrees(UnknownRoomCelsius)} was taken. Put a logger on the bench, and trust only the touch test.");
        if (gapMs > 0)
            yield return Cautions.Of(
                RoomUnknownFor,
                $"Since the pour the room was not recorded for {Span(gapMs)}: there it was assumed, not known. Test by touch first.",
                ("gap_minutes", Whole(gapMs / 60_000.0)));
        if (here.Readings is [.., var last] && BenchClimateNow.IsSilent(last.ReadingMs, here.IntervalMs, DateTimeOffset.FromUnixTimeMilliseconds(nowMs)))
            yield return Cautions.Of(
                SensorSilent,
                $"The sensor at this bench has been silent for {Span(nowMs - last.ReadingMs)}: look whether it runs, and how warm the room is.",
                ("silent_minutes", Whole((nowMs - last.ReadingMs) / 60_000.0)));
        if (air.FirstOrDefault(point => point.Celsius is < ColdestCelsius or > WarmestCelsius) is { Ms: > 0 } beyond)
            yield return Cautions.Of(
                RoomOutOfRange,
                $"A reading of {Degrees(beyond.Celsius)} lies outside what the model takes, {ColdestCelsius} to {WarmestCelsius} °C; the nearest was taken.",
                ("temperature_celsius", beyond.Celsius.ToString("0.0", CultureInfo.InvariantCulture)));
    }

    private static string Span(long ms) => ms < HourMs ? $"{Whole(ms / 60_000.0)} min" : $"{ms / HourMs} h {Whole(ms % HourMs / 60_000)} min";

    private static string Degrees(double celsius) => string.Create(CultureInfo.InvariantCulture, $"{celsius:0.0} °C");

    private static string Whole(double value) => value.ToString("0", CultureInfo.InvariantCulture);
}
