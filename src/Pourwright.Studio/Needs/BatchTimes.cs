using Pourwright.Cure;
using Pourwright.Cure.Advice;
using Pourwright.Cure.Readiness;
using Pourwright.Studio.Refusals;

namespace Pourwright.Studio.Needs;

/// <summary>Where and how warm a batch is mixed.</summary>
/// <param name="MixCelsius">Both parts, in °C.</param>
/// <param name="RoomCelsius">The air, in °C.</param>
/// <param name="Vessel">What it waits in; null: a bucket that fits it.</param>
/// <param name="WantedHours">How long it must pour well, in h; null where that limits nothing.</param>
public sealed record MixTerms(double MixCelsius, double RoomCelsius, MixVessel? Vessel, double? WantedHours)
{
    /// <summary>Warm enough to stir and to lose its bubbles: common practice, no source.</summary>
    public const double MixCelsiusDefault = 22;

    /// <summary>A room with people in it: common practice, no source.</summary>
    public const double RoomCelsiusDefault = 21;
}

/// <summary>How large a batch may be and how long it can be poured, by the cure model.</summary>
public static class BatchTimes
{
    private const double LeastVesselMm = 30;

    /// <summary>The largest batch, in mg: what the data sheet says, or the engine where it says less; null where neither does.</summary>
    /// <exception cref="CureRangeException">A number is out of range.</exception>
    /// <exception cref="Refusal">FIELD_INVALID where not even a gram lasts so long.</exception>
    public static long? LargestMg(ResinCureModel model, long? sheetMg, MixTerms terms)
    {
        if (terms is not { Vessel: { } vessel, WantedHours: { } hours }) return sheetMg;
        var engineMg = BatchHeat.Largest(model, vessel, terms.MixCelsius, terms.RoomCelsius, hours).MassMg;
        return Math.Min(engineMg, sheetMg ?? engineMg) is var massMg and > 0 ? massMg : throw Refusal.Invalid(
            "conditions.working_duration", $"{hours:0.##} h", "is longer than even one gram pours well there. Ask for less, mix cooler, or take a slower resin.");
    }

    /// <summary>From the end of mixing until a batch no longer pours well, in h; null where the model cannot say.</summary>
    public static double? WorkingHours(ResinCureModel model, long massMg, MixTerms terms)
    {
        try
        {
            return BatchHeat.Of(model, massMg, terms.Vessel ?? Bucket(model, massMg), terms.MixCelsius, terms.RoomCelsius).Hours;
        }
        catch (CureRangeException)
        {
            return null;
        }
    }

    /// <summary>A round bucket as high as wide that a batch fills by half: π/4 D² · D/2 = V, so D = (8 V/π)^⅓. Common practice, no source.</summary>
    public static MixVessel Bucket(ResinCureModel model, long massMg)
    {
        var cubicMm = massMg / (model.DensityKgPerM3 * 1e-3);
        var diameterMm = Math.Max(LeastVesselMm, Math.Cbrt(8 * cubicMm / Math.PI));
        return new(diameterMm, diameterMm);
    }
}
