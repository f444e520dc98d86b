using Google.Protobuf.WellKnownTypes;
using Pourwright.Cure.Readiness;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Forecasts;

/// <summary>A row of `forecasts`: added, never changed. Times in Unix ms; a gate's time is null where the horizon ends before it.</summary>
public sealed record ForecastRecord
{
    public string Piece { get; init; } = "";

    /// <summary>From 1; the newest counts.</summary>
    public int Revision { get; init; }

    public long ForecastMs { get; init; }

    public V1.Forecast.Types.Cause Cause { get; init; }

    /// <summary>Empty where the model could not be asked: there are no gates and no peak then, and a caution says why.</summary>
    public string ModelRevision { get; init; } = "";

    /// <summary>The first pour.</summary>
    public long PourMs { get; init; }

    public long? GelEarliestMs { get; init; }
    public long? GelLikelyMs { get; init; }
    public long? GelSafeMs { get; init; }
    public long? DemoldEarliestMs { get; init; }
    public long? DemoldLikelyMs { get; init; }
    public long? DemoldSafeMs { get; init; }
    public long? HandleEarliestMs { get; init; }
    public long? HandleLikelyMs { get; init; }
    public long? HandleSafeMs { get; init; }

    public double PeakLowCelsius { get; init; }
    public double PeakLikelyCelsius { get; init; }
    public double PeakHighCelsius { get; init; }
    public long PeakLikelyOffsetMs { get; init; }
    public double RunawayMarginRatio { get; init; }

    public long? LastReadingMs { get; init; }
    public long GapMs { get; init; }
    public string RoomAssumption { get; init; } = "";

    /// <summary>A JSON list, see <see cref="CautionJson"/>.</summary>
    public string Cautions { get; init; } = "[]";

    /// <summary>A JSON list, see <see cref="CourseJson"/>.</summary>
    public string Course { get; init; } = "[]";

    public string Name => $"{Piece}/forecasts/{Revision}";

    public bool IsComputed => ModelRevision.Length > 0;

    public bool IsRunaway => IsComputed && RunawayScreen.Risk(RunawayMarginRatio) == RunawayRisk.Runaway;

    /// <summary>Gel, demold and handle.</summary>
    public IReadOnlyList<V1.GateForecast> Gates() =>
    [
        Gate(V1.Gate.Gel, GelEarliestMs, GelLikelyMs, GelSafeMs),
        Gate(V1.Gate.Demold, DemoldEarliestMs, DemoldLikelyMs, DemoldSafeMs),
        Gate(V1.Gate.Handle, HandleEarliestMs, HandleLikelyMs, HandleSafeMs),
    ];

    public V1.Forecast ToProto(bool withCourse) => new()
    {
        Name = Name,
        ForecastTime = Instants.ToTimestamp(ForecastMs),
        Cause = Cause,
        ModelRevision = ModelRevision,
        Gates = { IsComputed ? Gates() : [] },
        Peak = IsComputed ? Peak() : null,
        PourTime = Instants.ToTimestamp(PourMs),
        LastReadingTime = Instants.ToTimestamp(LastReadingMs),
        GapDuration = Milliseconds(GapMs),
        RoomAssumption = RoomAssumption,
        Cautions = { CautionJson.Read(Cautions) },
        Course = { withCourse ? CourseJson.Read(Course).Select(CureTerms.ToProto) : [] },
    };

    private V1.PeakPrediction Peak() => new()
    {
        LowCelsius = PeakLowCelsius,
        LikelyCelsius = PeakLikelyCelsius,
        HighCelsius = PeakHighCelsius,
        LikelyOffset = Milliseconds(PeakLikelyOffsetMs),
        RunawayMarginRatio = RunawayMarginRatio,
        Risk = CureTerms.ToProto(RunawayScreen.Risk(RunawayMarginRatio)),
    };

    private static V1.GateForecast Gate(V1.Gate gate, long? earliestMs, long? likelyMs, long? safeMs) => new()
    {
        Gate = gate,
        EarliestTime = Instants.ToTimestamp(earliestMs),
        LikelyTime = Instants.ToTimestamp(likelyMs),
        SafeTime = Instants.ToTimestamp(safeMs),
    };

    private static Duration Milliseconds(long ms) => Duration.FromTimeSpan(TimeSpan.FromMilliseconds(ms));
}
