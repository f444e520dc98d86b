using Google.Protobuf.WellKnownTypes;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Climate;

/// <summary>A stretch without readings: from the last reading before it, or the start of the span, to the first after it, or the end. Unix ms.</summary>
public sealed record ClimateGap(long FromMs, long ToMs)
{
    public long DurationMs => ToMs - FromMs;
}

/// <summary>What is known of the climate over a stretch; without a reading, nothing is.</summary>
public sealed record ClimateSpan
{
    public long FromMs { get; init; }

    public long ToMs { get; init; }

    public int ReadingCount { get; init; }

    public double? MinTemperatureCelsius { get; init; }

    public double? MaxTemperatureCelsius { get; init; }

    /// <summary>Time-weighted over what is covered, in °C; the plain mean where single readings cover no time.</summary>
    public double? MeanTemperatureCelsius { get; init; }

    public double? MaxRelativeHumidityPercent { get; init; }

    /// <summary>Smallest margin at any reading with humidity, in K.</summary>
    public double? MinDewPointMarginCelsius { get; init; }

    /// <summary>Time colder than the minimum asked for, over what is covered.</summary>
    public long BelowMinimumMs { get; init; }

    public IReadOnlyList<ClimateGap> Gaps { get; init; } = [];

    /// <summary>Time without readings.</summary>
    public long GapMs => Gaps.Sum(gap => gap.DurationMs);

    /// <summary>Time with readings.</summary>
    public long CoveredMs => ToMs - FromMs - GapMs;

    public V1.ClimateSpan ToProto()
    {
        var span = new V1.ClimateSpan
        {
            StartTime = Instants.ToTimestamp(FromMs),
            EndTime = Instants.ToTimestamp(ToMs),
            ReadingCount = ReadingCount,
            BelowMinimumDuration = Duration.FromTimeSpan(TimeSpan.FromMilliseconds(BelowMinimumMs)),
            Gaps = { Gaps.Select(ToProto) },
        };
        if (MinTemperatureCelsius is { } min) span.MinTemperatureCelsius = min;
        if (MaxTemperatureCelsius is { } max) span.MaxTemperatureCelsius = max;
        if (MeanTemperatureCelsius is { } mean) span.MeanTemperatureCelsius = mean;
        if (MaxRelativeHumidityPercent is { } humidity) span.MaxRelativeHumidityPercent = humidity;
        if (MinDewPointMarginCelsius is { } margin) span.MinDewPointMarginCelsius = margin;
        return span;
    }

    private static V1.ClimateSpan.Types.Gap ToProto(ClimateGap gap) => new()
    {
        StartTime = Instants.ToTimestamp(gap.FromMs),
        EndTime = Instants.ToTimestamp(gap.ToMs),
    };
}
