using Pourwright.Cure.Advice;
using Pourwright.Studio.Forecasts;
using Pourwright.Studio.Refusals;
using Risk = Pourwright.V1.PeakPrediction.Types.Risk;
using static Pourwright.Studio.Advising.AdvisingTerms;

namespace Pourwright.Studio.Advising;

/// <summary>What is said about a planned pour.</summary>
internal static class PourPlanTexts
{
    /// <summary>So long after the first pour the room must hold the coldest the data sheet allows, in h. Our choice: cold later costs time, not the cure.</summary>
    private const double WatchedHours = 72;

    /// <summary>Under this share of cases a planned time is hardly better than none. Our choice.</summary>
    private const double SureShare = 0.5;

    /// <summary>Why there are no layers, and what to do.</summary>
    public static string WayOut(LayerPlan plan, double totalDepthMm, DepthLimit deepest) => plan is NoWindow { Layer: var layer }
        ? $"Layer {layer} has no window for the next one: by the time it has cooled it no longer bonds. Way out: let it harden until it "
            + "sands (test by touch), sand it to a key, wipe it, and then pour; or pour thinner layers in a cooler room."
        : deepest.DepthMm <= 0
            ? "Not even half a millimetre stays under the limits here. Way out: a cooler room and cooler resin, or a slower resin."
            : $"Up to {LayerPlanner.MostLayers} layers in their windows do not do: too many, or some of them gets too hot over the one below. "
                + $"Way out: a cooler room, a slower resin, or {Math.Ceiling(totalDepthMm / deepest.DepthMm - 1e-9)} layers of at most "
                + $"{Tenth(Math.Floor(10 * deepest.DepthMm) / 10)} mm, each left until it sands (test by touch), sanded to a key and wiped before the next.";

    /// <summary>What to know, the worst first.</summary>
    public static IEnumerable<V1.Caution> Cautions(V1.PourPlan plan, V1.PlanPourRequest request, PourPlanFacts facts)
    {
        V1.Caution?[] all =
        [
            Heat(plan, request),
            OverSheet(plan, request),
            Cold(facts),
            Unsure(plan),
            request.Vessel is null ? null : Leftovers(),
            SheetDecides(),
        ];
        return [.. all.OfType<V1.Caution>(), .. facts.Room.Cautions];
    }

    private static V1.Caution? Heat(V1.PourPlan plan, V1.PlanPourRequest request)
    {
        if (plan.OnePourPeak is not { } peak || (peak.Risk == Risk.Mild && peak.HighCelsius <= new PourLimits().PeakCelsius)) return null;
        var (low, high, margin) = (Whole(peak.LowCelsius), Whole(peak.HighCelsius), Ratio(peak.RunawayMarginRatio));
        var once = $"All {Tenth(request.TotalDepthMm)} mm in one pour peak between {low} and {high} °C, margin {margin}";
        (string, string)[] values =
        [
            ("total_depth_mm", Tenth(request.TotalDepthMm)), ("peak_low_celsius", low), ("peak_high_celsius", high), ("runaway_margin_ratio", margin),
        ];
        return peak.Risk == Risk.Runaway
            ? Refusals.Cautions.Of(CureCautions.RunawayRisk,
                $"{once}, over 0.45: a runaway, with smoke, cracks and burns. Do not pour it at once. The safety data sheet and local code decide.", values)
            : Refusals.Cautions.Of(CureCautions.PeakHigh,
                $"{once}; from 0.45 it runs away. A little more depth or a warmer room tips it over: look after it until the peak is past.", values);
    }

    private static V1.Caution? OverSheet(V1.PourPlan plan, V1.PlanPourRequest request) => plan.HasMaxDepthMm && request.TotalDepthMm > plan.MaxDepthMm
        ? Refusals.Cautions.Of(Reasons.DepthOverLimit,
            $"The data sheet allows {Tenth(plan.MaxDepthMm)} mm in one pour, {Tenth(request.TotalDepthMm)} mm are wanted: pour layers.",
            ("depth_mm", Tenth(request.TotalDepthMm)), ("max_depth_mm", Tenth(plan.MaxDepthMm)))
        : null;

    private static V1.Caution? Cold(PourPlanFacts facts)
    {
        if (facts.MinCureCelsius is not { } least) return null;
        var coldest = facts.Room.Ambient.Where(point => point.AtHours is > 0 and < WatchedHours).Select(point => point.TemperatureCelsius)
            .Append(facts.Room.CelsiusAt(0)).Append(facts.Room.CelsiusAt(WatchedHours)).Min();
        return coldest >= least ? null : Refusals.Cautions.Of(Reasons.RoomTooCold,
            $"The room is expected to fall to {Tenth(coldest)} °C within three days; the data sheet asks for {Tenth(least)} °C. It cures late and may stay "
            + "soft: warm the room evenly before the pour and keep it warm.",
            ("temperature_celsius", Tenth(coldest)), ("min_cure_temperature_celsius", Tenth(least)));
    }

    private static V1.Caution? Unsure(V1.PourPlan plan)
    {
        V1.PlannedLayer[] unsure = [.. plan.Layers.Where(layer => layer.Window?.BestShareRatio < SureShare)];
        if (unsure.Length == 0) return null;
        var layers = string.Join(", ", unsure.Select(layer => layer.LayerCount));
        var shares = string.Join(", ", unsure.Select(layer => Whole(100 * layer.Window.BestShareRatio)));
        return Refusals.Cautions.Of(Reasons.WindowUnsure,
            $"The planned time of layer {layers} meets its window in {shares} of 100 cases: once the layer below is recorded, its forecast narrows it. Touch "
            + "decides: gelled, cool and still tacky, pour; warm or flowing, wait; hard, let it harden until it sands, sand it to a key and then pour.",
            ("layers", layers), ("window_shares_percent", shares));
    }

    private static V1.Caution Leftovers() => Refusals.Cautions.Of(Reasons.PotLeftovers,
        "Never leave leftovers in the pot: a batch there heats itself and can smoke and burn. Spread them in shallow trays outdoors, clear of what "
        + "burns, and watch them until they are cold. The safety data sheet and local code decide.");

    private static V1.Caution SheetDecides() => Refusals.Cautions.Of(Reasons.SheetDecides,
        "Data sheet and safety data sheet decide where they say less than this plan. The model does not know your resin: pour a small sample first.");
}
