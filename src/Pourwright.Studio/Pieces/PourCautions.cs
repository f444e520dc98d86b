using System.Globalization;
using Pourwright.Cure.Climate;
using Pourwright.Studio.Lots;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Pieces;

/// <summary>What to know about a pour that is accepted all the same. A fact that nobody recorded raises no caution: it is unknown, not fine.</summary>
internal static class PourCautions
{
    /// <summary>Below this share of moisture, %, the dew point formula has no range; such air wets nothing.</summary>
    private const double HumidityMinPercent = 1;

    /// <summary>Of a pour as it is recorded: that its piece is held by now is no part of a pour that is corrected later.</summary>
    public static IEnumerable<Caution> OfNew(Pour pour, long pourMs, PourFacts facts) =>
        facts.Piece.IsHeld ? [StepCautions.Held(facts.Piece), .. Of(pour, pourMs, facts)] : Of(pour, pourMs, facts);

    public static IEnumerable<Caution> Of(Pour pour, long pourMs, PourFacts facts)
    {
        Caution?[] all =
        [
            Depth(pour, facts),
            PotLife(pourMs, facts),
            DewPoint(pour, facts),
            OtherResin(facts),
            Wood(facts),
        ];
        return all.OfType<Caution>();
    }

    private static Caution? Depth(Pour pour, PourFacts facts)
    {
        if (!RecordPour.IsOverLimit(pour, facts.ResinSystem)) return null;
        var (depth, limit) = (RecordPour.Millimetres(pour.DepthMm), RecordPour.Millimetres(facts.ResinSystem.MaxDepthMm!.Value));
        return Cautions.Of(Reasons.DepthOverLimit,
            $"The layer is {depth} mm deep, the data sheet's limit is {limit} mm. It may overheat, smoke, crack and burn skin: keep it watched, ventilated and clear of what burns; do not touch or move it hot.",
            ("depth_mm", depth), ("max_depth_mm", limit));
    }

    private static Caution? PotLife(long pourMs, PourFacts facts) => facts.Mix.PotLifeEndMs is { } endMs && pourMs > endMs
        ? Cautions.Of(Reasons.PotLifePast,
            $"Poured after the mix's pot life ended, {Amounts.LocalTime(endMs, facts.Site.Zone)}. Resin that heats or strings wets wood badly and traps air: what stays in the vessel goes into a shallow tray, watched.",
            ("pot_life_end_time", Instants.Utc(endMs)), ("pour_time", Instants.Utc(pourMs)))
        : null;

    private static Caution? DewPoint(Pour pour, PourFacts facts)
    {
        if (!pour.HasSurfaceTemperatureCelsius || facts.Air is not { RelativeHumidityPercent: >= HumidityMinPercent } air) return null;
        var dewPoint = AirMoisture.DewPointCelsius(air.TemperatureCelsius, air.RelativeHumidityPercent);
        var least = facts.Site.DewPointMarginCelsius;
        if (pour.SurfaceTemperatureCelsius - dewPoint >= least) return null;
        return Cautions.Of(Reasons.SurfaceNearDewPoint,
            $"The surface is {Tenths(pour.SurfaceTemperatureCelsius)} °C, the dew point {Tenths(dewPoint)} °C; less than {Tenths(least)} °C lie between. Moisture may cloud the resin or keep it from the wood: warm mould and wood, or dry the air.",
            ("surface_temperature_celsius", Tenths(pour.SurfaceTemperatureCelsius)), ("dew_point_celsius", Tenths(dewPoint)),
            ("dew_point_margin_celsius", Tenths(least)), ("reading_time", Instants.Utc(air.ReadingMs)));
    }

    private static Caution? OtherResin(PourFacts facts) => facts.ResinSystemsBelow.FirstOrDefault(below => below != facts.ResinSystem.Name) is { } other
        ? Cautions.Of(Reasons.ResinSystemChanged,
            $"The piece holds '{other}' already, this layer is '{facts.ResinSystem.Name}'. Layers of two systems may part or cloud: ask both suppliers, or try it on a sample.",
            ("earlier_resin_system", other), ("resin_system", facts.ResinSystem.Name))
        : null;

    /// <summary>Once, with the first pour: from then on the wood is covered.</summary>
    private static Caution? Wood(PourFacts facts)
    {
        var (least, most) = (facts.Options.WoodMoistureMinPercent, facts.Options.WoodMoistureMaxPercent);
        if (facts.Pours.Count > 0 || facts.Piece.WoodMoisturePercent is not { } moisture || (moisture >= least && moisture <= most)) return null;
        return Cautions.Of(Reasons.WoodMoisture,
            $"The wood has {Tenths(moisture)} % moisture, usual are {Tenths(least)} to {Tenths(most)} %. Wet wood foams and parts from the resin, over-dry wood swells later: measure again at two places, dry it, or seal it first.",
            ("wood_moisture_percent", Tenths(moisture)), ("wood_moisture_min_percent", Tenths(least)), ("wood_moisture_max_percent", Tenths(most)));
    }

    private static string Tenths(double value) => value.ToString("0.0", CultureInfo.InvariantCulture);
}
