using System.Globalization;
using Pourwright.Cure.Advice;
using Pourwright.Cure.Ladder;
using Pourwright.Cure.Readiness;
using Pourwright.Studio.Refusals;

namespace Pourwright.Studio.Forecasts;

/// <summary>What one could do before anything is poured.</summary>
public static class PredictAdvice
{
    public const string PourThinner = "POUR_THINNER";

    /// <summary>Enough to find a temperature to a quarter of a kelvin: a search from a cold room on asks the engine two dozen times.</summary>
    private const int DrawsOfSearch = 20;

    /// <summary>A pour that gets too hot is answered with the deepest that does not, one that stands still with the least warmth that helps.</summary>
    public static IEnumerable<V1.Advice> Of(PieceCase piece, PieceDraws draws, PieceLadder ladder)
    {
        if (ladder.Peak.Risk != RunawayRisk.Mild) yield return Thinner(DeepestLayer.Of(piece, draws));
        else if (ladder[LadderGate.Handle] is Stalls) yield return Warmer(piece, draws.Thinned(DrawsOfSearch));
    }

    private static V1.Advice Thinner(DepthLimit limit)
    {
        var depth = Math.Floor(limit.DepthMm).ToString("0", CultureInfo.InvariantCulture);
        return limit.DepthMm >= 1
            ? Advise.Of(
                PourThinner,
                $"Pour the last layer at most {depth} mm deep here and now: its peak then stays under "
                + $"{Math.Ceiling(limit.Peak.HighCelsius):0} °C. Plan more layers, a cooler room or a slower resin; where the data sheet says "
                + "less, it decides.",
                ("depth_mm", depth))
            : Advise.Of(
                PourThinner,
                "No layer of this resin is safe here and now. Wait until what is below has cooled, cool the room, or take a slower resin.",
                ("depth_mm", "0"));
    }

    private static V1.Advice Warmer(PieceCase piece, PieceDraws draws)
    {
        const double WeekHours = 168;
        var question = new Question(piece, piece.Layers[^1].AtHours + WeekHours, LadderGate.Handle);
        return new WhatIf(draws).SmallestWarming(question, piece.Layers[^1].AtHours + 24) is Possible { Change: HoldRoom hold, After.IsSafe: true }
            ? Advise.Of(
                ForecastAdvice.WarmTheRoom,
                $"Held at {hold.Celsius.ToString("0.#", CultureInfo.InvariantCulture)} °C from a day after the pour on, it is safe for saw and "
                + "planer within a week. Warm it evenly, within the limits of the data sheet; no heat gun, no flame.",
                ("temperature_celsius", hold.Celsius.ToString("0.#", CultureInfo.InvariantCulture)))
            : Advise.Of(
                ForecastAdvice.MoveTheSession,
                $"No warmth up to {WhatIf.WarmestCelsius} °C from a day after the pour on makes it safe for saw and planer within a week. "
                + "Promise no date.");
    }
}
