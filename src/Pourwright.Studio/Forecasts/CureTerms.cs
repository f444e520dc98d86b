using Google.Protobuf.WellKnownTypes;
using Pourwright.Cure.Ladder;
using Pourwright.Cure.Readiness;
using Risk = Pourwright.V1.PeakPrediction.Types.Risk;

namespace Pourwright.Studio.Forecasts;

/// <summary>The engine's terms in those of the protocol.</summary>
public static class CureTerms
{
    /// <summary>How far a forecast solves beyond the last pour, in h: fourteen days. What comes later is carried on at the last temperature of the room.</summary>
    public const double HorizonHours = 336;

    /// <summary>A room in which people saw, plane and sand, in °C: common practice, no source.</summary>
    public const double WorkCelsius = 20;

    /// <summary>The thinnest board the engine takes, in mm; a thinner one hardly differs from it, 0 says that there is none.</summary>
    private const double BoardMmMin = 3;

    /// <summary>The spread of one piece, by what a data sheet leaves open of the rate, in ln: √(σ² + 0.10² + 0.10² + 0.10²).</summary>
    /// <remarks>0.10 each for lot, site and pour (our guess, no source).</remarks>
    public static CureSpread Spread(double rateLnSd) =>
        CureSpread.Default with { RateLnSd = Math.Sqrt(rateLnSd * rateLnSd + 3 * 0.10 * 0.10) };

    /// <summary>A board that the engine takes, in mm.</summary>
    public static double BoardMm(double thicknessMm) => thicknessMm > 0 ? Math.Max(thicknessMm, BoardMmMin) : 0;

    /// <summary>The peak; its offset counts from the first pour.</summary>
    public static V1.PeakPrediction ToProto(this PeakForecast peak) => new()
    {
        LowCelsius = peak.LowCelsius,
        LikelyCelsius = peak.LikelyCelsius,
        HighCelsius = peak.HighCelsius,
        LikelyOffset = Hours(peak.LikelyAtHours),
        RunawayMarginRatio = peak.RunawayMargin,
        Risk = ToProto(peak.Risk),
    };

    public static V1.CureSample ToProto(this CureSample sample) => new()
    {
        Offset = Hours(sample.AtHours),
        BaseTemperatureCelsius = sample.BaseCelsius,
        MiddleTemperatureCelsius = sample.MiddleCelsius,
        TopTemperatureCelsius = sample.TopCelsius,
        LeastConversionRatio = sample.LeastConversion,
        LeastGlassMarginCelsius = sample.LeastTgMinusTKelvin,
    };

    public static Risk ToProto(RunawayRisk risk) => risk switch
    {
        RunawayRisk.Mild => Risk.Mild,
        RunawayRisk.Caution => Risk.Caution,
        _ => Risk.Runaway,
    };

    /// <summary>The gates of the protocol that are rungs of the engine.</summary>
    private static readonly (V1.Gate Gate, LadderGate Rung)[] RungGates =
    [
        (V1.Gate.FirstGel, LadderGate.FirstGel), (V1.Gate.Gel, LadderGate.Gel), (V1.Gate.Demold, LadderGate.Demold),
        (V1.Gate.Handle, LadderGate.Handle), (V1.Gate.Sand, LadderGate.Sand), (V1.Gate.FullCure, LadderGate.FullCure),
    ];

    /// <summary>Every gate with its times, in the order in which they are usually reached.</summary>
    public static IEnumerable<(V1.Gate Gate, GateTimes Times)> Gates(PieceLadder ladder) =>
    [
        .. RungGates.SkipLast(1).Select(gate => (gate.Gate, ladder[gate.Rung].Times)),
        (V1.Gate.Recoat, ladder.Recoat), (V1.Gate.HandOver, ladder.HandOver),
        (V1.Gate.FullCure, ladder[LadderGate.FullCure].Times),
    ];

    /// <summary>Gates without a safe time, each with the reason.</summary>
    public static IEnumerable<(V1.Gate Gate, Stalls Why)> Stalls(PieceLadder ladder) =>
        from gate in RungGates where ladder[gate.Rung] is Stalls select (gate.Gate, (Stalls)ladder[gate.Rung]);

    public static V1.CureStall ToProto(this Stalls stall) => new()
    {
        RoomTemperatureCelsius = stall.RoomCelsius,
        ReachedConversionRatio = stall.ReachedConversion,
        WantedConversionRatio = stall.WantedConversion,
    };

    /// <summary>The middle case hour by hour, and the sample next to its peak.</summary>
    public static IEnumerable<CureSample> HourByHour(PieceLadder ladder)
    {
        var peak = ladder.LikelyCourse.MinBy(sample => Math.Abs(sample.AtHours - ladder.Peak.LikelyAtHours));
        return ladder.LikelyCourse.Where(sample => double.IsInteger(sample.AtHours) || sample == peak);
    }

    /// <summary>Hours as a duration, to the millisecond.</summary>
    public static Duration Hours(double hours) => Duration.FromTimeSpan(TimeSpan.FromMilliseconds(Math.Round(hours * 3_600_000)));
}
