using Pourwright.Studio.Refusals;
using Pourwright.V1;

namespace Pourwright.Studio.Needs;

/// <summary>How a batch is mixed, as it is asked for.</summary>
public static class MixShape
{
    /// <summary>Checks its form.</summary>
    public static FieldChecks Mixing(this FieldChecks checks, MixConditions? conditions)
    {
        if (conditions is null) return checks;
        if (conditions.HasResinTemperatureCelsius) checks.Celsius("conditions.resin_temperature_celsius", conditions.ResinTemperatureCelsius, 5);
        if (conditions.HasRoomTemperatureCelsius) checks.Celsius("conditions.room_temperature_celsius", conditions.RoomTemperatureCelsius, 5);
        if (conditions.Vessel is { } vessel)
            checks.Within("conditions.vessel.diameter_mm", vessel.DiameterMm, 30, 800, "mm").Within("conditions.vessel.height_mm", vessel.HeightMm, 20, 800, "mm");
        if (conditions.WorkingDuration is { } wanted)
            checks.Within("conditions.working_duration", Hours(wanted), 0.02, 48, "h").Require(conditions.Vessel is not null, "conditions.working_duration", "needs a vessel.");
        return checks;
    }

    /// <summary>Checks the form of weighed wood.</summary>
    public static FieldChecks Wood(this FieldChecks checks, GetResinNeedRequest request)
    {
        if (request.HasWoodMassMg) checks.Mass("wood_mass_mg", request.WoodMassMg);
        if (request.HasWoodDensityKgPerM3) checks.Within("wood_density_kg_per_m3", request.WoodDensityKgPerM3, 80, 1400, "kg/m³");
        return checks.Require(request.HasWoodMassMg == request.HasWoodDensityKgPerM3, "wood_density_kg_per_m3", "must be given with wood_mass_mg, and only there.");
    }

    /// <summary>The terms, the usual ones where nothing is said.</summary>
    public static MixTerms Terms(MixConditions? conditions) => new(
        conditions is { HasResinTemperatureCelsius: true } ? conditions.ResinTemperatureCelsius : MixTerms.MixCelsiusDefault,
        conditions is { HasRoomTemperatureCelsius: true } ? conditions.RoomTemperatureCelsius : MixTerms.RoomCelsiusDefault,
        conditions?.Vessel is { } vessel ? new Pourwright.Cure.Advice.MixVessel(vessel.DiameterMm, vessel.HeightMm) : null,
        conditions?.WorkingDuration is { } wanted ? Hours(wanted) : null);

    private static double Hours(Google.Protobuf.WellKnownTypes.Duration span) => (span.Seconds + span.Nanos / 1e9) / 3600;
}
