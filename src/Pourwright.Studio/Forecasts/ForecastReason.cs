using System.Globalization;
using Pourwright.Studio.Lots;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;
using Pourwright.V1;
using Cause = Pourwright.V1.Forecast.Types.Cause;

namespace Pourwright.Studio.Forecasts;

/// <summary>Why a forecast is as it is, sentence by sentence: what happened, and what moved.</summary>
public static class ForecastReason
{
    /// <summary>Less is not worth a word, in K: a logger errs by as much.</summary>
    private const double NotedKelvin = 0.3;

    private const long QuarterMs = 15 * 60_000, HourMs = 60 * 60_000;

    /// <param name="facts">With the forecast of before.</param>
    /// <param name="forecast">The new one.</param>
    /// <param name="room">The room it took.</param>
    public static IReadOnlyList<Statement> Of(ForecastFacts facts, ForecastRecord forecast, RoomCourse room) => facts.Latest is { } before
        ? [.. Learned(before, forecast), What(facts, forecast, before, room), Moved(before, forecast)]
        : [Layer("FIRST_FORECAST", facts, depth => $"First forecast, after the pour of {depth} mm.")];

    private static IEnumerable<Statement> Learned(ForecastRecord before, ForecastRecord now)
    {
        var more = now.ObservationCount - before.ObservationCount;
        if (more < 1 || now.Cause == Cause.Check) yield break;
        yield return Stated.Of("CHECKS_LEARNED",
            more == 1 ? "One more check of this resin was learned from." : $"{more} more checks of this resin were learned from.", ("check_count", $"{more}"));
    }

    private static Statement What(ForecastFacts facts, ForecastRecord forecast, ForecastRecord before, RoomCourse room) => forecast.Cause switch
    {
        Cause.Pour => Layer("LAYER_POURED", facts, depth => $"A further layer of {depth} mm was poured."),
        Cause.Correction => Stated.Of("POURS_CORRECTED", "What was recorded of its pours was corrected."),
        Cause.Move => Stated.Of("PIECE_CARRIED", $"It was carried to {ResourceNames.IdOf(facts.Piece.Bench ?? "another bench")}.", ("bench", facts.Piece.Bench ?? "")),
        Cause.Check => Stated.Of("PIECE_CHECKED", "What was seen of it was learned from."),
        _ => Bench(facts, forecast, before, room),
    };

    private static Statement Layer(string kind, ForecastFacts facts, Func<string, string> text)
    {
        var depth = facts.Pours[^1].Pour.DepthMm.ToString("0.#", CultureInfo.InvariantCulture);
        return Stated.Of(kind, text(depth), ("depth_mm", depth));
    }

    // The room as the forecast of before would have it, against what was read since.
    private static Statement Bench(ForecastFacts facts, ForecastRecord forecast, ForecastRecord before, RoomCourse room)
    {
        var fromMs = before.LastReadingMs ?? before.ForecastMs;
        if (forecast.LastReadingMs is not { } toMs || toMs <= fromMs) return Stated.Of("ROOM_TAKEN_ANEW", "The room is taken anew.");
        var taken = ForecastPiece.Room(facts with { Stays = [.. facts.Stays.Select(stay => Until(stay, fromMs))] }, before.ForecastMs);
        double Hours(long ms) => (double)(ms - forecast.PourMs) / HourMs;
        var apart = Times(fromMs, toMs).Average(ms => room.CelsiusAt(Hours(ms)) - taken.CelsiusAt(Hours(ms)));
        var kelvin = Math.Abs(apart).ToString("0.0", CultureInfo.InvariantCulture);
        return Math.Abs(apart) < NotedKelvin ? Stated.Of("ROOM_AS_TAKEN", "Since the forecast before, the bench was as warm as taken.")
            : apart < 0 ? Stated.Of("ROOM_COLDER", $"Since the forecast before, the bench was {kelvin} K colder than taken.", ("difference_kelvin", kelvin))
            : Stated.Of("ROOM_WARMER", $"Since the forecast before, the bench was {kelvin} K warmer than taken.", ("difference_kelvin", kelvin));
    }

    private static BenchStay Until(BenchStay stay, long ms) =>
        stay with { Readings = [.. stay.Readings.Where(reading => reading.ReadingMs <= ms)] };

    private static IEnumerable<long> Times(long fromMs, long toMs)
    {
        for (var ms = fromMs + QuarterMs; ms < toMs; ms += QuarterMs) yield return ms;
        yield return toMs;
    }

    private static Statement Moved(ForecastRecord before, ForecastRecord now) => (before.HandleSafeMs, now.HandleSafeMs) switch
    {
        _ when !now.IsComputed => Stated.Of("OUTSIDE_MODEL", "It lies outside what the model knows."),
        (null, null) => Stated.Of("SAFE_TIME_STILL_NONE", "Still no safe time for saw and planer."),
        (null, { } becomes) => Stated.Of("SAFE_TIME_FOUND", "There is a safe time for saw and planer now.", ("safe_time", Instants.Utc(becomes))),
        ({ } was, null) => Stated.Of("SAFE_TIME_LOST", "There is no safe time for saw and planer any more.", ("safe_before_time", Instants.Utc(was))),
        ({ } was, { } becomes) when Math.Abs(becomes - was) < QuarterMs =>
            Stated.Of("SAFE_TIME_SAME", "Safe for saw and planer as before.", ("safe_time", Instants.Utc(becomes))),
        ({ } was, { } becomes) => becomes > was ? Shift("SAFE_TIME_LATER", "later", was, becomes) : Shift("SAFE_TIME_SOONER", "sooner", was, becomes),
    };

    private static Statement Shift(string kind, string word, long wasMs, long becomesMs) => Stated.Of(
        kind, $"Safe for saw and planer {Amounts.Span(Math.Abs(becomesMs - wasMs))} {word}.",
        ("shift_minutes", $"{(Math.Abs(becomesMs - wasMs) + 30_000) / 60_000}"),
        ("safe_before_time", Instants.Utc(wasMs)), ("safe_time", Instants.Utc(becomesMs)));
}
