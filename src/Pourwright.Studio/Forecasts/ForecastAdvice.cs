using System.Globalization;
using Pourwright.Cure.Advice;
using Pourwright.Cure.Ladder;
using Pourwright.Cure.Readiness;
using Pourwright.Studio.Lots;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Forecasts;

/// <summary>What one could do about a piece: the engine that made its forecast is asked what would help.</summary>
public static class ForecastAdvice
{
    public const string WarmTheRoom = "WARM_THE_ROOM";
    public const string MoveTheSession = "MOVE_THE_SESSION";
    public const string TestByTouch = "TEST_BY_TOUCH";

    /// <summary>Enough to find a temperature to a quarter of a kelvin: a search asks the engine a dozen times.</summary>
    private const int DrawsOfSearch = 40;

    /// <summary>Without a session, help is asked for within this. Common practice, no source: a piece stays a week.</summary>
    private static readonly TimeSpan Within = TimeSpan.FromDays(7);

    private const double HourMs = 3_600_000;

    /// <summary>The most useful first. Heavy where a piece is late: not for the writer's thread.</summary>
    public static IReadOnlyList<V1.Advice> Of(ForecastFacts facts, PieceCase piece, PieceDraws draws, ForecastRecord forecast)
    {
        var sessionMs = facts.Piece.PlannedSessionMs is { } planned && planned > forecast.ForecastMs ? planned : (long?)null;
        var isLate = forecast.HandleSafeMs is not { } safe || safe > sessionMs;
        if (!isLate) return [Touch(facts, forecast)];
        var byMs = sessionMs ?? forecast.ForecastMs + (long)Within.TotalMilliseconds;
        return Warmth(facts, piece, draws.Thinned(DrawsOfSearch), forecast, byMs) is { } warmth ? [warmth] : [Move(facts, forecast, byMs)];
    }

    /// <summary>The least warmth from now on that makes it; from the peak on, where it would feed the peak before. Null where none does.</summary>
    private static V1.Advice? Warmth(ForecastFacts facts, PieceCase piece, PieceDraws draws, ForecastRecord forecast, long byMs)
    {
        double Hours(long ms) => (ms - forecast.PourMs) / HourMs;
        var question = new Question(piece, Hours(byMs), LadderGate.Handle);
        var whatIf = new WhatIf(draws);
        var answer = whatIf.SmallestWarming(question, Hours(forecast.ForecastMs));
        if (answer is Refused { Objection: Objection.TooHot, WaitUntilHours: { } wait } && wait < question.SessionAtHours)
            answer = whatIf.SmallestWarming(question, wait);
        return answer is Possible { Change: HoldRoom hold, After.IsSafe: true } ? Warm(facts, forecast, hold, byMs) : null;
    }

    private static V1.Advice Warm(ForecastFacts facts, ForecastRecord forecast, HoldRoom hold, long byMs)
    {
        long At(double hours) => forecast.PourMs + (long)(hours * HourMs);
        var (fromMs, celsius) = (At(hold.FromHours), (Math.Ceiling(2 * hold.Celsius) / 2).ToString("0.#", CultureInfo.InvariantCulture));
        var until = double.IsFinite(hold.UntilHours) ? $" until {Local(facts, At(hold.UntilHours))}, then let it cool" : "";
        return Advise.Of(
            WarmTheRoom,
            $"Hold the bench at {celsius} °C from {Local(facts, fromMs)}{until}: then it is safe for saw and planer by {Local(facts, byMs)}. "
            + "Warm it evenly, within the limits of the data sheet; no heat gun, no flame.",
            ("temperature_celsius", celsius), ("from_time", Instants.Utc(fromMs)),
            ("until_time", double.IsFinite(hold.UntilHours) ? Instants.Utc(At(hold.UntilHours)) : ""), ("safe_by_time", Instants.Utc(byMs)));
    }

    private static V1.Advice Move(ForecastFacts facts, ForecastRecord forecast, long byMs) => forecast.HandleSafeMs is { } safeMs
        ? Advise.Of(
            MoveTheSession,
            $"No warmth that is allowed makes it safe by {Local(facts, byMs)}: move its session to {Local(facts, safeMs)} or later.",
            ("session_time", Instants.Utc(byMs)), ("safe_time", Instants.Utc(safeMs)))
        : Advise.Of(
            MoveTheSession,
            $"No warmth up to {WhatIf.WarmestCelsius} °C makes it safe by {Local(facts, byMs)}: it needs longer, and a warm room. Promise "
            + "no date; test by touch at its coldest place.",
            ("session_time", Instants.Utc(byMs)), ("safe_time", ""));

    private static V1.Advice Touch(ForecastFacts facts, ForecastRecord forecast)
    {
        var (gate, before, safeMs) = forecast.DemoldSafeMs is { } demold && demold > forecast.ForecastMs
            ? ("demold", "before it leaves its mould", demold)
            : ("handle", "before it goes over saw and planer", forecast.HandleSafeMs!.Value);
        return Advise.Of(
            TestByTouch,
            $"Nothing to change. Test by touch from {Local(facts, safeMs)} on, {before}: where it is thickest, thinnest and coldest.",
            ("gate", gate), ("test_time", Instants.Utc(safeMs)));
    }

    private static string Local(ForecastFacts facts, long ms) => Amounts.LocalTime(ms, facts.Zone);
}
