using Pourwright.Studio.Lots;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Sites;
using Pourwright.V1;
using Kind = Pourwright.V1.Step.Types.Kind;
using PieceState = Pourwright.V1.Piece.Types.State;

namespace Pourwright.Studio.Pieces;

/// <summary>What a step is judged by.</summary>
public sealed record StepFacts
{
    public required PieceRecord Piece { get; init; }
    public required SiteRecord Site { get; init; }

    /// <summary>Where to, for a move.</summary>
    public BenchRecord? Bench { get; init; }

    /// <summary>The pours so far, first to last.</summary>
    public IReadOnlyList<PourRecord> Pours { get; init; } = [];

    /// <summary>The steps so far.</summary>
    public IReadOnlyList<StepRecord> Steps { get; init; } = [];

    public IReadOnlyList<CheckRecord> Checks { get; init; } = [];

    /// <summary>Of the newest forecast; null while there is none.</summary>
    public PieceGates? Gates { get; init; }
}

/// <summary>Something was done to a piece. A step before its gate is recorded with a caution: it happened.</summary>
public static class RecordStep
{
    /// <exception cref="Refusal">FIELD_INVALID, all fields at once.</exception>
    public static void CheckShape(RecordStepRequest request)
    {
        var step = request.Step ?? new();
        var checks = new FieldChecks()
            .Name("parent", request.Parent, ResourceKind.Piece)
            .NewId("step_id", request.StepId)
            .Require(step.Kind is > Kind.Unspecified and <= Kind.Scrap, "step.kind", "must say what was done.", $"{(int)step.Kind}")
            .Text("step.worker", step.Worker, 80)
            .Text("step.note", step.Note, 500, 0)
            .OptionalTime("step.step_time", step.StepTime);
        if (step.Kind == Kind.Move) checks.Name("step.bench", step.Bench, ResourceKind.Bench, StudioOf(request.Parent));
        else checks.Require(step.Bench.Length == 0, "step.bench", "belongs to a move only. Leave it empty, or record a move.", step.Bench);
        checks.ThrowIfAny();
    }

    /// <exception cref="Refusal">
    /// TIME_IN_FUTURE, PIECE_HANDED_OVER, PIECE_SCRAPPED, PIECE_NOT_POURED, PIECE_NOT_DEMOLDED, PIECE_DEMOLDED, SITE_MISMATCH,
    /// TIME_OUT_OF_ORDER, PIECE_HELD.
    /// </exception>
    public static StepDecision Decide(string name, Step step, StepFacts facts, long nowMs)
    {
        var stepMs = EventTime.OrNow(step.StepTime, nowMs, "step.step_time");
        RequireState(step.Kind, facts.Piece);
        if (facts.Bench is not null) PieceRefusals.RequireSameSite(facts.Piece, facts.Bench);
        RequireOrder(step.Kind, stepMs, facts);
        RequireNotHeld(step, facts.Piece);
        var record = new StepRecord
        {
            Name = name,
            Piece = facts.Piece.Name,
            Kind = step.Kind,
            StepMs = stepMs,
            Worker = step.Worker,
            Bench = facts.Bench?.Name,
            Note = step.Note,
            Cautions = MessageListJson.Write(StepCautions.Of(step.Kind, stepMs, facts)),
            RecordMs = nowMs,
        };
        return new(record, facts.Piece with { State = StateAfter(step.Kind, facts.Piece.State), Bench = BenchAfter(stepMs, facts) });
    }

    private static void RequireState(Kind kind, PieceRecord piece)
    {
        PieceRefusals.RequireOpen(piece);
        if (piece.State == PieceState.Prepared && kind != Kind.Scrap)
            throw Refusal.Precondition(Reasons.PieceNotPoured,
                $"Piece '{piece.Name}' has no pour. Record the pour first; it says where the piece stands.", ("piece", piece.Name));
        if (piece.State == PieceState.Curing && kind is (Kind.Saw or Kind.Plane or Kind.Sand))
            throw Refusal.Precondition(Reasons.PieceNotDemolded,
                $"Piece '{piece.Name}' is in its mould: it is not sawn, planed or sanded there. Record the demolding first.", ("piece", piece.Name));
        if (piece.State == PieceState.Demolded && kind == Kind.Demold)
            throw Refusal.Precondition(Reasons.PieceDemolded, $"Piece '{piece.Name}' is out of its mould already. Look at its steps.", ("piece", piece.Name));
    }

    /// <summary>A piece is moved after its first pour; anything else is done to it after its last, and tools after the demolding.</summary>
    private static void RequireOrder(Kind kind, long stepMs, StepFacts facts)
    {
        if (facts.Pours is not [var first, ..]) return;
        var pour = kind == Kind.Move ? first : facts.Pours[^1];
        PieceRefusals.RequireNotBefore(stepMs, pour.PourMs, "step", pour.Name, "was poured");
        if (kind != Kind.Move && facts.Steps.FirstOrDefault(step => step.Kind == Kind.Demold) is { } demold)
            PieceRefusals.RequireNotBefore(stepMs, demold.StepMs, "step", demold.Name, "was done");
    }

    /// <summary>A held piece stays in the house. One that is gone all the same is recorded, with words: a recall must know who has it.</summary>
    private static void RequireNotHeld(Step step, PieceRecord piece)
    {
        if (step.Kind == Kind.HandOver && piece.IsHeld && string.IsNullOrWhiteSpace(step.Note))
            throw Refusal.Precondition(Reasons.PieceHeld,
                $"Piece '{piece.Name}' is held: {piece.HoldReason}. Keep it here until it is released. If it has left the house already, record that with a note that says how.",
                ("piece", piece.Name), ("hold_reason", piece.HoldReason!));
    }

    private static PieceState StateAfter(Kind kind, PieceState before) => kind switch
    {
        Kind.Demold => PieceState.Demolded,
        Kind.HandOver => PieceState.HandedOver,
        Kind.Scrap => PieceState.Scrapped,
        _ => before,
    };

    /// <summary>A move that is written down late does not undo what came after it.</summary>
    private static string? BenchAfter(long stepMs, StepFacts facts)
    {
        var isNewest = facts.Pours.All(pour => pour.PourMs <= stepMs)
            && facts.Steps.All(step => step.Kind != Kind.Move || step.StepMs <= stepMs);
        return facts.Bench is { } bench && isNewest ? bench.Name : facts.Piece.Bench;
    }

    private static string? StudioOf(string piece) => ResourceKind.Piece.Matches(piece) ? ResourceNames.StudioOf(piece) : null;
}
