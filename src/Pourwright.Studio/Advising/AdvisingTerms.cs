using System.Globalization;
using Google.Protobuf.WellKnownTypes;
using Pourwright.Cure.Advice;
using Pourwright.Cure.Ladder;
using Pourwright.Cure.Readiness;
using Pourwright.Studio.Forecasts;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;
using BatchBound = Pourwright.Cure.Advice.BatchBound;
using DepthBound = Pourwright.Cure.Advice.DepthBound;
using V1Objection = Pourwright.V1.WhatIfAnswer.Types.Objection;

namespace Pourwright.Studio.Advising;

/// <summary>The engine's terms in those of advice.proto. Hours count from the first pour, which is given in Unix ms.</summary>
internal static class AdvisingTerms
{
    /// <summary>Enough for a search, which asks the engine dozens of times: to a quarter of a kelvin and a tenth of a millimetre.</summary>
    public const int DrawsOfSearch = 40;

    private const double HourMs = 3_600_000;

    private const long YearSeconds = 366 * 86_400;

    /// <summary>The engine's gate; null where it is none that a piece reaches by curing.</summary>
    public static LadderGate? RungOf(V1.Gate gate) => gate switch
    {
        V1.Gate.FirstGel => LadderGate.FirstGel,
        V1.Gate.Gel => LadderGate.Gel,
        V1.Gate.Demold => LadderGate.Demold,
        V1.Gate.Handle => LadderGate.Handle,
        V1.Gate.Sand => LadderGate.Sand,
        V1.Gate.FullCure => LadderGate.FullCure,
        _ => null,
    };

    /// <summary>When a piece reaches each gate.</summary>
    public static IEnumerable<V1.GateForecast> Gates(PieceLadder ladder, long firstPourMs)
    {
        var stalls = CureTerms.Stalls(ladder).ToDictionary(stall => stall.Gate, stall => stall.Why.ToProto());
        return CureTerms.Gates(ladder).Select(gate => Gate(gate.Gate, gate.Times, stalls.GetValueOrDefault(gate.Gate), firstPourMs));
    }

    public static V1.GateForecast Gate(V1.Gate gate, GateTimes times, V1.CureStall? stall, long firstPourMs) => new()
    {
        Gate = gate,
        EarliestTime = At(times.EarliestHours, firstPourMs),
        LikelyTime = At(times.LikelyHours, firstPourMs),
        SafeTime = At(times.SafeHours, firstPourMs),
        Stall = stall,
    };

    public static V1.LayerWindow ToProto(this LayerWindow window, long firstPourMs) => new()
    {
        OpensEarliestTime = At(window.Opens.EarliestHours, firstPourMs),
        OpensLikelyTime = At(window.Opens.LikelyHours, firstPourMs),
        OpensSafeTime = At(window.Opens.SafeHours, firstPourMs),
        ClosesEarliestTime = At(window.Closes.EarliestHours, firstPourMs),
        ClosesLikelyTime = At(window.Closes.LikelyHours, firstPourMs),
        BestTime = At(window.BestAtHours, firstPourMs),
        BestShareRatio = window.ShareAtBest,
    };

    public static V1.PourPlan.Types.DepthBound ToProto(this DepthBound bound) => bound switch
    {
        DepthBound.Peak => V1.PourPlan.Types.DepthBound.Peak,
        DepthBound.RunawayMargin => V1.PourPlan.Types.DepthBound.RunawayMargin,
        DepthBound.DataSheet => V1.PourPlan.Types.DepthBound.DataSheet,
        _ => V1.PourPlan.Types.DepthBound.Model,
    };

    public static V1.PourPlan.Types.BatchBound ToProto(this BatchBound bound) => bound == BatchBound.Vessel
        ? V1.PourPlan.Types.BatchBound.Vessel
        : V1.PourPlan.Types.BatchBound.WorkingTime;

    public static V1Objection ToProto(this Objection objection) => objection switch
    {
        Objection.TooHot => V1Objection.TooHot,
        Objection.NoWindow => V1Objection.NoWindow,
        _ => V1Objection.NotByThen,
    };

    /// <summary>A time that may be left out, else within a year of now: nobody plans further, and nothing overflows.</summary>
    public static FieldChecks YearAround(this FieldChecks checks, string fieldPath, Timestamp? told, long nowMs) => told is null ? checks : checks.Require(
        Math.Abs(told.Seconds - nowMs / 1000) <= YearSeconds && told.Nanos is >= 0 and <= 999_999_999, fieldPath,
        "must be a valid instant within a year of now.", $"{told.Seconds} s");

    /// <summary>Hours after the first pour as an instant, to the millisecond.</summary>
    public static Timestamp? At(double? hours, long firstPourMs) =>
        hours is { } known && double.IsFinite(known) ? Instants.ToTimestamp(Ms(known, firstPourMs)) : null;

    /// <summary>Unix ms of hours after the first pour.</summary>
    public static long Ms(double hours, long firstPourMs) => firstPourMs + (long)Math.Round(hours * HourMs);

    /// <summary>Hours from the first pour to an instant in Unix ms.</summary>
    public static double Hours(long ms, long firstPourMs) => (ms - firstPourMs) / HourMs;

    /// <summary>Hours as a span of time; 0 where nothing is said.</summary>
    public static double Hours(this Duration? span) => span is null ? 0 : (span.Seconds + span.Nanos / 1e9) / 3600;

    /// <summary>Degrees, millimetres or grams for people: at most one decimal.</summary>
    public static string Tenth(double value) => value.ToString("0.#", CultureInfo.InvariantCulture);

    public static string Whole(double value) => value.ToString("0", CultureInfo.InvariantCulture);

    public static string Ratio(double value) => value.ToString("0.00", CultureInfo.InvariantCulture);
}
