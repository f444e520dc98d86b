using Pourwright.Studio.Climate;
using Pourwright.Studio.Forecasts;
using Kind = Pourwright.V1.BenchOutlook.Types.Kind;

namespace Pourwright.Studio.Tests.Forecasts;

/// <summary>Benches with readings, in hours from the first pour; a logger that reports each hour, so that anything over three hours is a gap.</summary>
internal static class Rooms
{
    public const long Hour = 3_600_000;

    /// <summary>An instant in 2026, so that hours before the pour are valid instants too.</summary>
    public const long Pour = 1_770_370_000_000;

    public static RoomCourse Course(double nowHours, IReadOnlyList<ReadingRecord> readings, double? plannedCelsius = null, OutlookRecord? outlook = null) =>
        RoomForecast.Course([Stay(0, readings) with { PlannedCelsius = plannedCelsius, Outlook = outlook }], At(nowHours), At(336));

    public static BenchStay Stay(double fromHours, IReadOnlyList<ReadingRecord> readings) =>
        new() { FromMs = At(fromHours), Readings = readings, IntervalMs = Hour };

    /// <summary>A day of readings, hours 0 to 24, and the day before it: hour −24 + n as hour n.</summary>
    public static IReadOnlyList<ReadingRecord> Day(Func<int, double> celsius) =>
        Hourly(-24, 24, hour => celsius(hour < 0 ? (int)hour + 24 : (int)hour));

    public static IReadOnlyList<ReadingRecord> Hourly(int fromHour, int toHour, Func<double, double> celsius) =>
        [.. Enumerable.Range(fromHour, toHour - fromHour + 1).Select(hour => Reading(hour, celsius(hour)))];

    public static ReadingRecord Reading(double hour, double celsius) => new() { ReadingMs = At(hour), TemperatureCelsius = celsius };

    public static OutlookRecord Outlook(Kind kind, IEnumerable<(double AtHours, double Celsius)> points) =>
        new() { Kind = kind, Points = OutlookRecord.Write(points.Select(point => new OutlookPoint(At(point.AtHours), point.Celsius))) };

    /// <summary>Doubt as the engine reads it: on the straight lines between the points, level after the last.</summary>
    public static double DoubtAt(RoomCourse room, double atHours)
    {
        var next = room.Ambient.Count(point => point.AtHours <= atHours);
        if (next == room.Ambient.Count) return room.Ambient[^1].Doubt;
        var (a, b) = (room.Ambient[next - 1], room.Ambient[next]);
        return a.Doubt + (b.Doubt - a.Doubt) * (atHours - a.AtHours) / (b.AtHours - a.AtHours);
    }

    private static long At(double hour) => Pour + (long)(hour * Hour);
}
