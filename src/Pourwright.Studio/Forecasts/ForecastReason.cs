using System.Globalization;
using Pourwright.Studio.Lots;
using Pourwright.Studio.Names;
using Cause = Pourwright.V1.Forecast.Types.Cause;

namespace Pourwright.Studio.Forecasts;

/// <summary>Why a forecast is as it is, in two sentences: what happened, and what moved.</summary>
public static class ForecastReason
{
    /// <summary>Less is not worth a word, in K: a logger errs by as much.</summary>
    private const double NotedKelvin = 0.3;

    private const long QuarterMs = 15 * 60_000, HourMs = 60 * 60_000;

    /// <param name="facts">With the forecast of before.</param>
    /// <param name="forecast">The new one.</param>
    /// <param name="room">The room it took.</param>
    public static string Of(ForecastFacts facts, ForecastRecord forecast, RoomCourse room) => facts.Latest is { } before
        ? $"{Learned(before, forecast)}{What(facts, forecast, before, room)} {Moved(before, forecast)}"
        : $"First forecast, after the pour of {Whole(facts.Pours[^1].Pour.DepthMm)} mm.";

    private static string Learned(ForecastRecord before, ForecastRecord now) => (now.ObservationCount - before.ObservationCount) switch
    {
        _ when now.Cause == Cause.Check => "",
        1 => "One more check of this resin was learned from. ",
        > 1 and var more => $"{more} more checks of this resin were learned from. ",
        _ => "",
    };

    private static string What(ForecastFacts facts, ForecastRecord forecast, ForecastRecord before, RoomCourse room) => forecast.Cause switch
    {
        Cause.Pour => $"A further layer of {Whole(facts.Pours[^1].Pour.DepthMm)} mm was poured.",
        Cause.Correction => "What was recorded of its pours was corrected.",
        Cause.Move => $"It was carried to {ResourceNames.IdOf(facts.Piece.Bench ?? "another bench")}.",
        Cause.Check => "What was seen of it was learned from.",
        _ => Bench(facts, forecast, before, room),
    };

    // The room as the forecast of before would have it, against what was read since.
    private static string Bench(ForecastFacts facts, ForecastRecord forecast, ForecastRecord before, RoomCourse room)
    {
        var fromMs = before.LastReadingMs ?? before.ForecastMs;
        if (forecast.LastReadingMs is not { } toMs || toMs <= fromMs) return "The room is taken anew.";
        var taken = ForecastPiece.Room(facts with { Stays = [.. facts.Stays.Select(stay => Until(stay, fromMs))] }, before.ForecastMs);
        double Hours(long ms) => (double)(ms - forecast.PourMs) / HourMs;
        var apart = Times(fromMs, toMs).Average(ms => room.CelsiusAt(Hours(ms)) - taken.CelsiusAt(Hours(ms)));
        return Math.Abs(apart) < NotedKelvin
            ? "Since the forecast before, the bench was as warm as taken."
            : $"Since the forecast before, the bench was {Math.Abs(apart).ToString("0.0", CultureInfo.InvariantCulture)} K "
                + $"{(apart < 0 ? "colder" : "warmer")} than taken.";
    }

    private static BenchStay Until(BenchStay stay, long ms) =>
        stay with { Readings = [.. stay.Readings.Where(reading => reading.ReadingMs <= ms)] };

    private static IEnumerable<long> Times(long fromMs, long toMs)
    {
        for (var ms = fromMs + QuarterMs; ms < toMs; ms += QuarterMs) yield return ms;
        yield return toMs;
    }

    private static string Moved(ForecastRecord before, ForecastRecord now) => (before.HandleSafeMs, now.HandleSafeMs) switch
    {
        _ when !now.IsComputed => "It lies outside what the model knows.",
        (null, null) => "Still no safe time for saw and planer.",
        (null, _) => "There is a safe time for saw and planer now.",
        (_, null) => "There is no safe time for saw and planer any more.",
        ({ } was, { } becomes) when Math.Abs(becomes - was) < QuarterMs => "Safe for saw and planer as before.",
        ({ } was, { } becomes) => $"Safe for saw and planer {Amounts.Span(Math.Abs(becomes - was))} {(becomes > was ? "later" : "sooner")}.",
    };

    private static string Whole(double value) => value.ToString("0.#", CultureInfo.InvariantCulture);
}
