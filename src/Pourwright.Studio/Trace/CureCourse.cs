using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Trace;

/// <summary>A point of a curve: an instant and a temperature in °C, or a conversion from 0 to 1.</summary>
public sealed record CoursePoint(DateTimeOffset Time, double Value);

/// <summary>Something that happened, or is forecast, at an instant.</summary>
public sealed record CourseMark(DateTimeOffset Time, string Text);

/// <summary>A gate of the last forecast on the time axis; without a safe time it would not get there without warmth.</summary>
public sealed record CourseGate(Gate Gate, DateTimeOffset Earliest, DateTimeOffset Safe);

/// <summary>A touch test.</summary>
public sealed record CourseTouch(DateTimeOffset Time, Check.Types.Touch Touch);

/// <summary>The course of a cure: the room as recorded, the middle as forecast, the gates, and what people saw and did.</summary>
public sealed record CureCourse
{
    public required TimeZoneInfo Zone { get; init; }

    public required DateTimeOffset From { get; init; }

    public required DateTimeOffset To { get; init; }

    /// <summary>Room temperature in °C, in stretches: between two of them nothing was recorded.</summary>
    public required IReadOnlyList<IReadOnlyList<CoursePoint>> Room { get; init; }

    /// <summary>Temperature of the middle in °C, middle case of the last forecast.</summary>
    public required IReadOnlyList<CoursePoint> Middle { get; init; }

    /// <summary>Conversion of the slowest point, 0 to 1, middle case of the last forecast.</summary>
    public required IReadOnlyList<CoursePoint> Conversion { get; init; }

    public required IReadOnlyList<CourseGate> Gates { get; init; }

    public required IReadOnlyList<CourseTouch> Touches { get; init; }

    /// <summary>Surface temperatures measured, in °C.</summary>
    public required IReadOnlyList<CoursePoint> Surfaces { get; init; }

    public required IReadOnlyList<CourseMark> Pours { get; init; }

    public required IReadOnlyList<CourseMark> Steps { get; init; }

    /// <summary>Coldest that the data sheets allow, in °C.</summary>
    public double? MinCureTemperatureCelsius { get; init; }

    /// <summary>The course of a piece; null where nothing was poured.</summary>
    public static CureCourse? Of(PieceFacts facts)
    {
        if (facts.Stays.Count == 0) return null;
        var gates = GatesOf(facts.LastForecast).ToList();
        Check[] touches = [.. facts.Checks.Where(check => check.Touch != Check.Types.Touch.Unspecified)];
        var from = Instants.FromUnixMs(facts.Stays[0].FromMs);
        var seen = facts.Checks.Select(check => check.CheckTime).Concat(facts.Steps.Select(step => step.StepTime))
            .Select(time => time.ToDateTimeOffset());
        var to = gates.Select(gate => gate.Safe).Concat(seen).Append(from.AddHours(12)).Max();
        var margin = (to - from) / 25;
        return new CureCourse
        {
            Zone = facts.Zone,
            From = from - margin,
            To = to + margin,
            Room = Stretches(facts.CureReadings),
            Middle = Course(facts.LastForecast, sample => sample.MiddleTemperatureCelsius),
            Conversion = Course(facts.LastForecast, sample => sample.LeastConversionRatio),
            Gates = gates,
            Touches = [.. touches.Select(check => new CourseTouch(check.CheckTime.ToDateTimeOffset(), check.Touch))],
            Surfaces = [.. facts.Checks.Where(check => check.HasSurfaceTemperatureCelsius)
                .Select(check => new CoursePoint(check.CheckTime.ToDateTimeOffset(), check.SurfaceTemperatureCelsius))],
            Pours = [.. facts.Pours.Select(pour => new CourseMark(pour.Pour.PourTime.ToDateTimeOffset(), $"pour {pour.Pour.LayerCount}"))],
            Steps = [.. facts.Steps.Select(step => new CourseMark(step.StepTime.ToDateTimeOffset(), TraceWords.Of(step.Kind)))],
            MinCureTemperatureCelsius = facts.MinCureTemperatureCelsius,
        };
    }

    /// <summary>The others follow from these or lie days later.</summary>
    private static readonly Gate[] Drawn = [Gate.Gel, Gate.Demold, Gate.Handle, Gate.Sand];

    private static IEnumerable<CourseGate> GatesOf(Forecast? forecast) =>
        from gate in forecast?.Gates.Where(gate => Drawn.Contains(gate.Gate)) ?? []
        where gate.SafeTime is not null && gate.EarliestTime is not null
        select new CourseGate(gate.Gate, gate.EarliestTime.ToDateTimeOffset(), gate.SafeTime.ToDateTimeOffset());

    private static IReadOnlyList<CoursePoint> Course(Forecast? forecast, Func<CureSample, double> value) =>
    [
        .. from sample in forecast?.Course ?? []
           select new CoursePoint(forecast!.PourTime.ToDateTimeOffset() + sample.Offset.ToTimeSpan(), value(sample)),
    ];

    private static List<List<CoursePoint>> Stretches(RoomReadings room)
    {
        List<List<CoursePoint>> stretches = [];
        var lastMs = long.MinValue / 2;
        foreach (var reading in room.Readings)
        {
            if (reading.ReadingMs - lastMs > Climate.ClimateSpans.IntervalsToGap * room.IntervalMs) stretches.Add([]);
            stretches[^1].Add(new CoursePoint(Instants.FromUnixMs(reading.ReadingMs), reading.TemperatureCelsius));
            lastMs = reading.ReadingMs;
        }
        return stretches;
    }
}
