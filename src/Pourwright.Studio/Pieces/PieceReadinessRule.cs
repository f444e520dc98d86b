using Pourwright.V1;
using RungState = Pourwright.V1.PieceReadiness.Types.Rung.Types.State;

namespace Pourwright.Studio.Pieces;

/// <summary>When a gate is reached by a forecast, Unix ms: one case in twenty is sooner than the earliest time, nineteen than the safe one.</summary>
/// <param name="SafeMs">Null: not without warmth.</param>
public sealed record GateWindow(long? EarliestMs, long? SafeMs);

/// <summary>The gate times of the newest forecast of a piece, Unix ms.</summary>
public sealed record PieceGates
{
    public long? GelEarliestMs { get; init; }
    public long? GelSafeMs { get; init; }
    public long? DemoldEarliestMs { get; init; }
    public long? DemoldSafeMs { get; init; }
    public long? HandleEarliestMs { get; init; }
    public long? HandleSafeMs { get; init; }
    public long? SandEarliestMs { get; init; }
    public long? SandSafeMs { get; init; }

    public GateWindow this[Gate gate] => gate switch
    {
        Gate.Gel => new(GelEarliestMs, GelSafeMs),
        Gate.Demold => new(DemoldEarliestMs, DemoldSafeMs),
        Gate.Handle => new(HandleEarliestMs, HandleSafeMs),
        Gate.Sand => new(SandEarliestMs, SandSafeMs),
        _ => throw new ArgumentOutOfRangeException(nameof(gate), gate, "must be a rung of readiness."),
    };
}

/// <summary>Forecast + touch test = ready: the model announces, a person confirms, and neither does alone.</summary>
public static class PieceReadinessRule
{
    /// <summary>How far a piece is towards a gate at an instant (Unix ms), by its forecast and by what people felt.</summary>
    /// <remarks>
    /// Only a touch since the gate's earliest time speaks of it: what was soft before that had to be. The newest one counts.
    /// What was ready stays so when a later forecast moves its time: only a touch that says otherwise, fresh resin, or a
    /// correction of what was poured takes it back; the touch itself still counts by the forecast that follows.
    /// A soft piece no longer flows, so that soft confirms the gel; tacky may still be liquid and does not.
    /// The caller leaves out the checks that were made after the instant it asks about.
    /// </remarks>
    /// <param name="gate">Which gate.</param>
    /// <param name="window">Its times by the newest forecast; null while there is none.</param>
    /// <param name="checks">The checks of the piece, in any order.</param>
    /// <param name="nowMs">The instant, Unix ms.</param>
    public static RungState StateOf(Gate gate, GateWindow? window, IEnumerable<CheckRecord> checks, long nowMs)
    {
        if (IsConfirmed(gate, checks)) return RungState.Ready;
        if (window?.SafeMs is not { } safeMs || nowMs < safeMs) return RungState.Curing;
        return LastTouchSince(window.EarliestMs ?? safeMs, checks) switch
        {
            null => RungState.CheckDue,
            { } touch when SaysYes(touch, gate) => RungState.Ready,
            _ => RungState.Contradicted,
        };
    }

    /// <summary>Does a touch say that a gate is open?</summary>
    public static bool SaysYes(Check.Types.Touch touch, Gate gate) =>
        touch == Check.Types.Touch.Firm || (touch == Check.Types.Touch.Soft && gate == Gate.Gel);

    /// <summary>The gates that people ask about.</summary>
    public static IReadOnlyList<Gate> Rungs { get; } = [Gate.Gel, Gate.Demold, Gate.Handle, Gate.Sand];

    // Cure does not run backwards: what forecast and touch once said together stands until a touch says otherwise.
    private static bool IsConfirmed(Gate gate, IEnumerable<CheckRecord> checks) => checks
        .Where(check => check.Touch != Check.Types.Touch.Unspecified)
        .OrderBy(check => (check.CheckMs, check.RecordMs))
        .Aggregate(false, (confirmed, check) => check.IsConfirming(gate) || (confirmed && SaysYes(check.Touch, gate)));

    private static Check.Types.Touch? LastTouchSince(long sinceMs, IEnumerable<CheckRecord> checks) => checks
        .Where(check => check.CheckMs >= sinceMs && check.Touch != Check.Types.Touch.Unspecified)
        .MaxBy(check => (check.CheckMs, check.RecordMs))?.Touch;
}
