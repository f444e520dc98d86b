using Pourwright.Studio.Lots;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;
using Pourwright.V1;
using Kind = Pourwright.V1.Step.Types.Kind;
using RungState = Pourwright.V1.PieceReadiness.Types.Rung.Types.State;

namespace Pourwright.Studio.Pieces;

/// <summary>What to know about a step that came before its gate.</summary>
internal static class StepCautions
{
    public static IEnumerable<Caution> Of(Kind kind, long stepMs, StepFacts facts) =>
        IsWork(kind) && facts.Piece.IsHeld ? [Held(facts.Piece, isGiven: kind == Kind.HandOver), .. OfGate(kind, stepMs, facts)] : OfGate(kind, stepMs, facts);

    /// <summary>All but moving it away and giving it up.</summary>
    private static bool IsWork(Kind kind) => kind is not (Kind.Move or Kind.Scrap);

    /// <summary>Of a held piece that was worked on, poured into or handed over all the same.</summary>
    public static Caution Held(PieceRecord piece, bool isGiven = false) => Cautions.Of(Reasons.PieceHeld,
        $"Piece {piece.Label} is held: {piece.HoldReason}. " + (isGiven
            ? "It is on record as handed over; tell its maker today."
            : "Stop, and set it apart with a label until it is released."),
        ("piece_label", piece.Label), ("hold_reason", piece.HoldReason!));

    private static IEnumerable<Caution> OfGate(Kind kind, long stepMs, StepFacts facts)
    {
        if (GateOf(kind) is not { } gate) return [];
        var state = PieceReadinessRule.StateOf(gate, facts.Gates?[gate], facts.Checks.Where(check => check.CheckMs <= stepMs), stepMs);
        if (state == RungState.Ready) return [];
        var early = GateNotReached(gate, state, facts);
        return MakesDust(kind) ? [early, UncuredDust()] : [early];
    }

    /// <summary>A piece leaves its mould at one gate; what loads, cuts or gives it away waits for the next, the disc and what covers its surface for the one after.</summary>
    private static Gate? GateOf(Kind kind) => kind switch
    {
        Kind.Demold => Gate.Demold,
        Kind.Saw or Kind.Plane or Kind.HandOver => Gate.Handle,
        Kind.Sand or Kind.Finish => Gate.Sand,
        _ => null,
    };

    private static bool MakesDust(Kind kind) => kind is Kind.Saw or Kind.Plane or Kind.Sand;

    private static Caution GateNotReached(Gate gate, RungState state, StepFacts facts)
    {
        var (label, step) = (facts.Piece.Label, gate switch
        {
            Gate.Demold => "leave its mould",
            Gate.Sand => "be sanded and finished",
            _ => "be sawn, planed or handed over",
        });
        var safeMs = facts.Gates?[gate].SafeMs;
        var safe = safeMs is { } ms ? Amounts.LocalTime(ms, facts.Site.Zone) : "";
        var text = state switch
        {
            RungState.CheckDue => $"Piece {label} may {step} by its forecast since {safe}, but no touch test says so. Test by touch first, at the slowest place.",
            RungState.Contradicted => $"Piece {label} may {step} by its forecast since {safe}, but the last touch test says that it is not hard. Wait, and test by touch again.",
            _ when facts.Gates is null => $"Piece {label} has no forecast of its newest pour yet: nothing says that it may {step}. Wait for it, and test by touch first.",
            _ when safeMs is null => $"Piece {label} has no time in its forecast from which it may {step}: the room is too cold, or a pour lies outside the model's range. Look at the forecast, and test by touch first.",
            _ => $"Piece {label} is fit to {step} from {safe} on. Wait until then, and test by touch first.",
        };
        return Cautions.Of(Reasons.GateNotReached, text,
            ("piece_label", label), ("gate", Name(gate)), ("readiness", Name(state)), ("safe_time", safeMs is { } at ? Instants.Utc(at) : ""));
    }

    private static Caution UncuredDust() => Cautions.Of(Reasons.UncuredDust,
        "Dust of part-cured resin irritates and sensitises skin and airways. Stop, or work only with extraction, a fitted respirator, gloves and covered skin; the safety data sheet, local code and licensed practice decide.");

    private static string Name(Gate gate) => gate switch
    {
        Gate.Demold => "GATE_DEMOLD",
        Gate.Sand => "GATE_SAND",
        _ => "GATE_HANDLE",
    };

    private static string Name(RungState state) => state switch
    {
        RungState.CheckDue => "STATE_CHECK_DUE",
        RungState.Contradicted => "STATE_CONTRADICTED",
        _ => "STATE_CURING",
    };
}
