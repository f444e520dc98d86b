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

    /// <summary>What the air will follow there; null where nothing is said. Counts at the present bench only.</summary>
    public OutlookRecord? Outlook { get; init; }

    /// <summary>The benches of a piece in order, each since when, in Unix ms, from where it was seen: by a pour or a move.</summary>
    public static List<(string Bench, long FromMs)> Benches(IEnumerable<(string Bench, long FromMs)> seen)
    {
        List<(string Bench, long FromMs)> benches = [];
        foreach (var at in seen.OrderBy(at => at.FromMs))
            if (benches.Count == 0 || benches[^1].Bench != at.Bench) benches.Add(at);
        return benches;
    }
}

/// <summary>The room that a forecast reckons with.</summary>
/// <param name="Ambient">Air from the first pour on with its doubt, in h from it, as close as a logger measures; the last point holds on.</param>
/// <param name="Assumption">In words: what was taken from the last reading on, and how sure that is.</param>
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

/// <summary>From readings to the air around a piece: as read up to the last one, by what is said of it or by its pattern after that.</summary>
/// <remarks>
/// Each point says how sure it is: every draw of a forecast has its own course of the air, right where it was logged and spreading
/// where it is yet to come.
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
    internal const double ColdestCelsius = -10, WarmestCelsius = 50;

    /// <summary>A room in more doubt than this is in none that means anything, in K. Our choice.</summary>
    private const double MostDoubtKelvin = 10;

    private const long HourMs = 3_600_000;

    /// <summary>Carrying a piece to another bench: between two rooms the air changes over a minute, not at once.</summary>
    internal const long CarryMs = 60_000;

    /// <summary>The room of a piece from its first pour to <paramref name="horizonMs"/>.</summary>
    /// <param name="stays">Where it stands and stood, in order, the present bench last; the first stay begins at the first pour.</param>
    public static RoomCourse Course(IReadOnlyList<BenchStay> stays, long nowMs, long horizonMs)
    {
        var (pourMs, here) = (stays[0].FromMs, stays[^1]);
        var future = RoomFuture.Of(here, nowMs, horizonMs);
        AirPoint[] air = [.. stays.SkipLast(1).Zip(stays.Skip(1)).SelectMany(Left), .. Here(here, future)];
        var gapMs = stays.Zip([.. stays.Skip(1).Select(stay => stay.FromMs), Math.Max(nowMs, here.FromMs)], GapMs).Sum();
        return new RoomCourse(
            [.. AirLines.Straightened(air).Select(point => Ambient(point, pourMs))],
            future.Words,
            stays.SelectMany(stay => stay.Readings).Select(reading => (long?)reading.ReadingMs).Max(),
            gapMs,
            [.. Doubts(stays, gapMs, nowMs, air)]);
    }

    private static AmbientPoint Ambient(AirPoint point, long pourMs) => new(
        (double)(point.Ms - pourMs) / HourMs,
        Math.Clamp(point.Celsius, ColdestCelsius, WarmestCelsius),
        Math.Min(point.SdKelvin, MostDoubtKelvin) / CureSpread.Default.AmbientOffsetSdKelvin);

    /// <summary>The air of a bench that the piece has left.</summary>
    private static IEnumerable<AirPoint> Left((BenchStay Stay, BenchStay Next) pair)
    {
        var (fromMs, toMs) = (pair.Stay.FromMs, Math.Max(pair.Stay.FromMs, pair.Next.FromMs - CarryMs));
        if (toMs == pair.Next.FromMs) return [];
        if (AirCurve.Of(pair.Stay.Readings) is { } curve)
            return Read(curve, RoomDoubt.Of(curve, pair.Stay.IntervalMs, RoomRules.Hold(curve, "")), fromMs, toMs);
        var (celsius, doubt) = (pair.Stay.PlannedCelsius ?? UnknownRoomCelsius, RoomDoubt.Unread(pair.Stay.PlannedCelsius is not null));
        return [new(fromMs, celsius, doubt.Kelvin(fromMs)), new(toMs, celsius, doubt.Kelvin(toMs))];
    }

    private static IEnumerable<AirPoint> Here(BenchStay here, RoomFuture future) =>
    [
        .. AirCurve.Of(here.Readings) is { } curve ? Read(curve, future.Doubt, here.FromMs, future.FromMs).Where(point => point.Ms < future.FromMs) : [],
        .. future.Air.Select(point => new AirPoint(point.Ms, point.Celsius, future.Doubt.Kelvin(point.Ms))),
    ];

    private static IEnumerable<AirPoint> Read(AirCurve curve, RoomDoubt doubt, long fromMs, long toMs) =>
        curve.Between(fromMs, toMs).Select(point => point.Ms).Concat(doubt.Bends(fromMs, toMs)).Distinct().Order()
            .Select(ms => new AirPoint(ms, curve.At(ms), doubt.Kelvin(ms)));

    private static long GapMs(BenchStay stay, long toMs) => ClimateSpans.Over(stay.Readings, stay.FromMs, toMs, stay.IntervalMs).GapMs;

    private static IEnumerable<V1.Caution> Doubts(
        IReadOnlyList<BenchStay> stays, long gapMs, long nowMs, IEnumerable<AirPoint> air)
    {
        var here = stays[^1];
        if (here.Readings.Count == 0 && here.PlannedCelsius is null)
            yield return Cautions.Of(
                RoomUnknown,
                $"Nothing is known of this room; {Spoken.Degrees(UnknownRoomCelsius)} was taken. Put a logger on the bench, and trust only the touch test.");
        if (gapMs > 0)
            yield return Cautions.Of(
                RoomUnknownFor,
                $"Since the pour the room was not recorded for {Spoken.Span(gapMs)}: there it was assumed, not known. Test by touch first.",
                ("gap_minutes", Spoken.Whole(gapMs / 60_000.0)));
        if (here.Readings is [.., var last] && BenchClimateNow.IsSilent(last.ReadingMs, here.IntervalMs, DateTimeOffset.FromUnixTimeMilliseconds(nowMs)))
            yield return Cautions.Of(
                SensorSilent,
                $"The sensor at this bench has been silent for {Spoken.Span(nowMs - last.ReadingMs)}: look whether it runs, and how warm the room is.",
                ("silent_minutes", Spoken.Whole((nowMs - last.ReadingMs) / 60_000.0)));
        if (air.FirstOrDefault(point => point.Celsius is < ColdestCelsius or > WarmestCelsius) is { Ms: > 0 } beyond)
            yield return Cautions.Of(
                RoomOutOfRange,
                $"A reading of {Spoken.Degrees(beyond.Celsius)} lies outside what the model takes, {ColdestCelsius} to {WarmestCelsius} °C; the nearest was taken.",
                ("temperature_celsius", beyond.Celsius.ToString("0.0", CultureInfo.InvariantCulture)));
    }
}
