using System.Globalization;
using Pourwright.Cure.Ladder;
using Pourwright.Cure.Readiness;
using Pourwright.Studio.Refusals;

namespace Pourwright.Studio.Forecasts;

/// <summary>What a person must know of a computed cure.</summary>
public static class CureCautions
{
    public const string RunawayRisk = "RUNAWAY_RISK";
    public const string PeakHigh = "PEAK_HIGH";
    public const string NeedsWarmth = "NEEDS_WARMTH";

    /// <summary>What the engine's screen expects a runaway to pass, in °C.</summary>
    private const double PeakHighCelsius = 80;

    /// <summary>Cautions of the peak and of gates that stay shut.</summary>
    public static IEnumerable<V1.Caution> Of(PieceLadder ladder)
    {
        var peak = ladder.Peak;
        if (peak.Risk == Cure.Readiness.RunawayRisk.Runaway) yield return Runaway(peak);
        else if (peak.Risk == Cure.Readiness.RunawayRisk.Caution || peak.HighCelsius >= PeakHighCelsius) yield return Hot(peak);
        if (ladder[LadderGate.Demold] is Stalls demold) yield return Cold("demold", "may leave its mould", demold);
        else if (ladder[LadderGate.Handle] is Stalls handle) yield return Cold("handle", "may go over saw and planer", handle);
        else if (ladder[LadderGate.Sand] is Stalls sand) yield return Cold("sand", "may be sanded", sand);
    }

    private static V1.Caution Runaway(PeakForecast peak) => Cautions.Of(
        RunawayRisk,
        $"This pour may run away: its peak lies between {Whole(peak.LowCelsius)} and {Whole(peak.HighCelsius)} °C, its margin is "
        + $"{Ratio(peak.RunawayMargin)}, over 0.45. Expect smoke, cracks and burns: keep it in sight, air the room, keep away whatever "
        + "burns, do not carry it hot; pour thinner layers. The safety data sheet and local code decide.",
        Facts(peak));

    private static V1.Caution Hot(PeakForecast peak) => Cautions.Of(
        PeakHigh,
        $"It gets hot: its peak lies between {Whole(peak.LowCelsius)} and {Whole(peak.HighCelsius)} °C, its margin is "
        + $"{Ratio(peak.RunawayMargin)}, and from 0.45 it runs away. A little more depth or a warmer room tips it over: look after it "
        + "until the peak is past, and do not touch it with bare hands.",
        Facts(peak));

    private static V1.Caution Cold(string gate, string purpose, Stalls why) => Cautions.Of(
        NeedsWarmth,
        $"It will not get there without warmth: at {Whole(why.RoomCelsius)} °C the cure stands still at {Percent(why.ReachedConversion)} %, "
        + (why.WantedConversion <= 1
            ? $"and {Percent(why.WantedConversion)} % are wanted before the piece {purpose}. "
            : $"and no cure of this resin is hard enough at that temperature that the piece {purpose}. ")
        + "Warm the room evenly, as far as the data sheet allows, and let it cool before the work; no heat gun, no flame.",
        ("gate", gate),
        ("room_temperature_celsius", Whole(why.RoomCelsius)),
        ("reached_conversion_percent", Percent(why.ReachedConversion)),
        ("wanted_conversion_percent", Percent(why.WantedConversion)));

    private static string Percent(double share) => (100 * share).ToString("0", CultureInfo.InvariantCulture);

    private static (string, string)[] Facts(PeakForecast peak) =>
    [
        ("peak_low_celsius", Whole(peak.LowCelsius)),
        ("peak_high_celsius", Whole(peak.HighCelsius)),
        ("runaway_margin_ratio", Ratio(peak.RunawayMargin)),
    ];

    private static string Whole(double value) => value.ToString("0", CultureInfo.InvariantCulture);

    private static string Ratio(double value) => value.ToString("0.00", CultureInfo.InvariantCulture);
}
