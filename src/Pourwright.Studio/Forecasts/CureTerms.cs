using Google.Protobuf.WellKnownTypes;
using Pourwright.Cure.Readiness;
using CureClass = Pourwright.V1.ResinSystem.Types.CureClass;
using Risk = Pourwright.V1.PeakPrediction.Types.Risk;

namespace Pourwright.Studio.Forecasts;

/// <summary>The engine's terms in those of the protocol.</summary>
public static class CureTerms
{
    /// <summary>How far a forecast looks beyond the last pour, in h: fourteen days.</summary>
    public const double HorizonHours = 336;

    /// <summary>The thinnest board the engine takes, in mm; a thinner one hardly differs from it, 0 says that there is none.</summary>
    private const double BoardMmMin = 3;

    /// <summary>The cure parameters a resin system starts from.</summary>
    public static ResinCureModel Model(CureClass cureClass) =>
        cureClass == CureClass.FastCoating ? ResinCureModel.FastCoating : ResinCureModel.DeepCasting;

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

    /// <summary>The middle case hour by hour, and the sample next to its peak.</summary>
    public static IEnumerable<CureSample> HourByHour(PieceForecast forecast)
    {
        var peak = forecast.LikelyCourse.MinBy(sample => Math.Abs(sample.AtHours - forecast.Peak.LikelyAtHours));
        return forecast.LikelyCourse.Where(sample => double.IsInteger(sample.AtHours) || sample == peak);
    }

    /// <summary>Hours as a duration, to the millisecond.</summary>
    public static Duration Hours(double hours) => Duration.FromTimeSpan(TimeSpan.FromMilliseconds(Math.Round(hours * 3_600_000)));
}
