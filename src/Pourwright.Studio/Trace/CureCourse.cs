using Google.Protobuf.WellKnownTypes;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Trace;

/// <summary>A point of a curve: an instant and a temperature in °C, or a conversion from 0 to 1.</summary>
public sealed record CoursePoint(DateTimeOffset Time, double Value);

/// <summary>Something that happened, or is forecast, at an instant.</summary>
public sealed record CourseMark(DateTimeOffset Time, string Text);

/// <summary>A gate of the last forecast on the time axis.</summary>
public sealed record CourseGate(Gate Gate, DateTimeOffset Earliest, DateTimeOffset Likely, DateTimeOffset Safe);

/// <summary>When a further layer may follow without sanding: nearly surely between opening and closing, in most cases at the best time.</summary>
/// <param name="Opens">Null, like <paramref name="Closes"/>, where no time is safe in nearly all cases.</param>
/// <param name="BestShare">Share of the cases whose window holds the best time, 0 to 1.</param>
public sealed record CourseWindow(DateTimeOffset? Opens, DateTimeOffset? Closes, DateTimeOffset Best, double BestShare);

/// <summary>A touch test.</summary>
public sealed record CourseTouch(DateTimeOffset Time, Check.Types.Touch Touch);

/// <summary>A reading of Shore D, 0 to 100; null where the durometer could not read, too soft.</summary>
public sealed record CourseHardness(DateTimeOffset Time, double? ShoreD);

/// <summary>The course of a cure: the room as recorded, the resin and its gates as forecast, and what people saw and did.</summary>
public sealed record CureCourse
{
    public required TimeZoneInfo Zone { get; init; }

    public required DateTimeOffset From { get; init; }

    public required DateTimeOffset To { get; init; }

    /// <summary>Room temperature in °C, in stretches: between two of them nothing was recorded.</summary>
    public required IReadOnlyList<IReadOnlyList<CoursePoint>> Room { get; init; }

    /// <summary>When the last forecast was made: left of it the room was known, right of it assumed. Null without one.</summary>
    public DateTimeOffset? ForecastTime { get; init; }

    /// <summary>Temperature of the lower face in °C, middle case of the last forecast.</summary>
    public required IReadOnlyList<CoursePoint> Base { get; init; }

    /// <summary>Temperature of the middle in °C, middle case of the last forecast.</summary>
    public required IReadOnlyList<CoursePoint> Middle { get; init; }

    /// <summary>Temperature of the upper face in °C, middle case of the last forecast.</summary>
    public required IReadOnlyList<CoursePoint> Top { get; init; }

    /// <summary>Conversion of the slowest point, 0 to 1, middle case of the last forecast.</summary>
    public required IReadOnlyList<CoursePoint> Conversion { get; init; }

    public required IReadOnlyList<CourseGate> Gates { get; init; }

    /// <summary>Gates that it does not surely reach without warmth.</summary>
    public IReadOnlyList<Gate> Stalled { get; init; } = [];

    /// <summary>Null where there is none, and once the piece is out of its mould.</summary>
    public CourseWindow? NextLayer { get; init; }

    public required IReadOnlyList<CourseTouch> Touches { get; init; }

    public required IReadOnlyList<CourseHardness> Hardness { get; init; }

    /// <summary>Surface temperatures measured, in °C.</summary>
    public required IReadOnlyList<CoursePoint> Surfaces { get; init; }

    public required IReadOnlyList<CourseMark> Pours { get; init; }

    public required IReadOnlyList<CourseMark> Steps { get; init; }

    /// <summary>Coldest that the data sheets allow, in °C.</summary>
    public double? MinCureTemperatureCelsius { get; init; }

    /// <summary>The course of a piece; null where nothing was poured.</summary>
    public static CureCourse? Of(PieceFacts facts)
    {
        if (facts.Pours.Count == 0) return null;
        var forecast = facts.LastForecast;
        var (gates, window) = (GatesOf(forecast).ToList(), WindowOf(facts));
        var from = facts.Pours[0].Pour.PourTime.ToDateTimeOffset();
        var seen = facts.Checks.Select(check => check.CheckTime).Concat(facts.Steps.Select(step => step.StepTime)).Append(forecast?.ForecastTime)
            .OfType<Timestamp>().Select(time => time.ToDateTimeOffset());
        var to = gates.Select(gate => gate.Safe).Concat(seen).Append(window?.Closes ?? window?.Best ?? from).Append(from.AddHours(12)).Max();
        var margin = (to - from) / 25;
        return new CureCourse
        {
            Zone = facts.Zone,
            From = from - margin,
            To = to + margin,
            Room = Stretches(facts.CureReadings),
            ForecastTime = forecast?.ForecastTime.ToDateTimeOffset(),
            Base = Course(sample => sample.BaseTemperatureCelsius),
            Middle = Course(sample => sample.MiddleTemperatureCelsius),
            Top = Course(sample => sample.TopTemperatureCelsius),
            Conversion = Course(sample => sample.LeastConversionRatio),
            Gates = gates,
            Stalled = [.. Drawn.Intersect(forecast?.Gates.Where(gate => gate.SafeTime is null).Select(gate => gate.Gate) ?? [])],
            NextLayer = window,
            Touches = [.. facts.Checks.Where(check => check.Touch != Check.Types.Touch.Unspecified)
                .Select(check => new CourseTouch(check.CheckTime.ToDateTimeOffset(), check.Touch))],
            Hardness = [.. facts.Checks.Where(check => check.HasShoreD || check.ShoreDBelowScale)
                .Select(check => new CourseHardness(check.CheckTime.ToDateTimeOffset(), check.HasShoreD ? check.ShoreD : null))],
            Surfaces = [.. facts.Checks.Where(check => check.HasSurfaceTemperatureCelsius)
                .Select(check => new CoursePoint(check.CheckTime.ToDateTimeOffset(), check.SurfaceTemperatureCelsius))],
            Pours = [.. facts.Pours.Select(pour => new CourseMark(pour.Pour.PourTime.ToDateTimeOffset(), $"pour {pour.Pour.LayerCount}"))],
            Steps = [.. facts.Steps.Select(step => new CourseMark(step.StepTime.ToDateTimeOffset(), TraceWords.Of(step.Kind)))],
            MinCureTemperatureCelsius = facts.MinCureTemperatureCelsius,
        };

        // Up to the first point beyond the axis: what follows is not seen.
        IReadOnlyList<CoursePoint> Course(Func<CureSample, double> value)
        {
            List<CoursePoint> points = [.. (forecast?.Course ?? []).Select(sample =>
                new CoursePoint(forecast!.PourTime.ToDateTimeOffset() + sample.Offset.ToTimeSpan(), value(sample)))];
            return [.. points.TakeWhile((_, index) => index == 0 || points[index - 1].Time < to + margin)];
        }
    }

    /// <summary>The others follow from these or lie days later.</summary>
    private static readonly Gate[] Drawn = [Gate.Gel, Gate.Demold, Gate.Handle, Gate.Sand];

    private static IEnumerable<CourseGate> GatesOf(Forecast? forecast) =>
        from gate in forecast?.Gates.Where(gate => Drawn.Contains(gate.Gate)) ?? []
        where gate is { EarliestTime: not null, LikelyTime: not null, SafeTime: not null }
        select new CourseGate(gate.Gate, gate.EarliestTime.ToDateTimeOffset(), gate.LikelyTime.ToDateTimeOffset(), gate.SafeTime.ToDateTimeOffset());

    private static CourseWindow? WindowOf(PieceFacts facts)
    {
        if (facts.Piece.State != Piece.Types.State.Curing || facts.LastForecast?.NextLayer is not { BestTime: not null } window) return null;
        var (opens, closes) = (window.OpensSafeTime?.ToDateTimeOffset(), window.ClosesEarliestTime?.ToDateTimeOffset());
        var (best, share) = (window.BestTime.ToDateTimeOffset(), window.BestShareRatio);
        return opens < closes ? new(opens, closes, best, share) : new(null, null, best, share);
    }

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
