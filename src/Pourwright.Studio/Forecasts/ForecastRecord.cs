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
    public long? SandEarliestMs { get; init; }
    public long? SandLikelyMs { get; init; }
    public long? SandSafeMs { get; init; }

    public double PeakLowCelsius { get; init; }
    public double PeakLikelyCelsius { get; init; }
    public double PeakHighCelsius { get; init; }
    public long PeakLikelyOffsetMs { get; init; }
    public double RunawayMarginRatio { get; init; }

    public long? LastReadingMs { get; init; }
    public long GapMs { get; init; }
    public string RoomAssumption { get; init; } = "";

    /// <summary>JSON, see <see cref="LadderJson"/>.</summary>
    public string Ladder { get; init; } = "{}";

    /// <summary>In words: why it was made, and what moved.</summary>
    public string Reason { get; init; } = "";

    /// <summary>The reason sentence by sentence: a JSON list, see <see cref="MessageListJson"/>.</summary>
    public string Statements { get; init; } = "[]";

    /// <summary>A JSON list, see <see cref="MessageListJson"/>.</summary>
    public string Advice { get; init; } = "[]";

    /// <summary>How many observations of its resin it has learned from.</summary>
    public int ObservationCount { get; init; }

    /// <summary>A JSON list, see <see cref="MessageListJson"/>.</summary>
    public string Cautions { get; init; } = "[]";

    /// <summary>A JSON list, see <see cref="CourseJson"/>.</summary>
    public string Course { get; init; } = "[]";

    public string Name => $"{Piece}/forecasts/{Revision}";

    public bool IsComputed => ModelRevision.Length > 0;

    public bool IsRunaway => IsComputed && RunawayScreen.Risk(RunawayMarginRatio) == RunawayRisk.Runaway;

    /// <summary>Every gate in the order in which they are usually reached.</summary>
    public IReadOnlyList<V1.GateForecast> Gates()
    {
        var rest = LadderJson.Read(Ladder);
        (V1.Gate Gate, TimeRange? Times)[] all =
        [
            (V1.Gate.FirstGel, rest.FirstGel),
            (V1.Gate.Gel, new(GelEarliestMs, GelLikelyMs, GelSafeMs)),
            (V1.Gate.Demold, new(DemoldEarliestMs, DemoldLikelyMs, DemoldSafeMs)),
            (V1.Gate.Handle, new(HandleEarliestMs, HandleLikelyMs, HandleSafeMs)),
            (V1.Gate.Sand, new(SandEarliestMs, SandLikelyMs, SandSafeMs)),
            (V1.Gate.Recoat, rest.Recoat),
            (V1.Gate.HandOver, rest.HandOver),
            (V1.Gate.FullCure, rest.FullCure),
        ];
        return [.. from gate in all where gate.Times is not null select Gate(gate.Gate, gate.Times, rest.Stalls.GetValueOrDefault(gate.Gate))];
    }

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
        Cautions = { MessageListJson.Read<V1.Caution>(Cautions) },
        NextLayer = LadderJson.Read(Ladder).Window(),
        Reason = Reason,
        ReasonStatements = { MessageListJson.Read<V1.Statement>(Statements) },
        Advice = { MessageListJson.Read<V1.Advice>(Advice) },
        ObservationCount = ObservationCount,
        Course = { withCourse ? CourseJson.Read(Course).Select(CureTerms.ToProto) : [] },
    };

    public V1.PeakPrediction Peak() => new()
    {
        LowCelsius = PeakLowCelsius,
        LikelyCelsius = PeakLikelyCelsius,
        HighCelsius = PeakHighCelsius,
        LikelyOffset = Milliseconds(PeakLikelyOffsetMs),
        RunawayMarginRatio = RunawayMarginRatio,
        Risk = CureTerms.ToProto(RunawayScreen.Risk(RunawayMarginRatio)),
    };

    private static V1.GateForecast Gate(V1.Gate gate, TimeRange times, StallRow? stall) => new()
    {
        Gate = gate,
        EarliestTime = Instants.ToTimestamp(times.EarliestMs),
        LikelyTime = Instants.ToTimestamp(times.LikelyMs),
        SafeTime = Instants.ToTimestamp(times.SafeMs),
        Stall = stall is null ? null : new()
        {
            RoomTemperatureCelsius = stall.RoomCelsius,
            ReachedConversionRatio = stall.ReachedConversion,
            WantedConversionRatio = stall.WantedConversion,
        },
    };

    private static Duration Milliseconds(long ms) => Duration.FromTimeSpan(TimeSpan.FromMilliseconds(ms));
}
