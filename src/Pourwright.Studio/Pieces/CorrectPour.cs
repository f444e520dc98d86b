using Pourwright.Studio.Lots;
using Pourwright.Studio.Mixes;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.V1;
using PieceState = Pourwright.V1.Piece.Types.State;

namespace Pourwright.Studio.Pieces;

/// <summary>A piece with its pours that stand and what was done to it.</summary>
public sealed record PieceHistory(PieceRecord Piece, IReadOnlyList<PourRecord> Pours, IReadOnlyList<StepRecord> Steps)
{
    /// <summary>Where it stood before an instant by its pours and moves; null where it had none.</summary>
    public string? BenchBefore(long ms) => Places.LastOrDefault(at => at.Ms <= ms).Bench;

    /// <summary>As its pours and steps leave it; a piece that has left its mould stays where it is.</summary>
    public PieceRecord Standing() => Piece.State is not (PieceState.Prepared or PieceState.Curing) ? Piece : Piece with
    {
        State = Pours.Count > 0 ? PieceState.Curing : PieceState.Prepared,
        Bench = Places.LastOrDefault().Bench,
    };

    private IEnumerable<(long Ms, string? Bench)> Places => Steps.Where(step => step.Bench is not null).Select(step => (step.StepMs, step.Bench))
        .Concat(Pours.Select(pour => (pour.PourMs, (string?)pour.Bench))).OrderBy(at => at.Item1);
}

/// <summary>What a correction of a pour is judged by.</summary>
public sealed record CorrectPourFacts
{
    /// <summary>The pour that stands, or stood before it was said not to have occurred.</summary>
    public required PourRecord Pour { get; init; }

    public required bool Stands { get; init; }

    /// <summary>The piece that it was recorded in.</summary>
    public required PieceHistory From { get; init; }

    /// <summary>The right piece with all else that is right of the pour; its pours are those that stand without this one.</summary>
    public required PourFacts Right { get; init; }

    /// <summary>The right piece; the same as From where the piece was right.</summary>
    public required PieceHistory Into { get; init; }

    /// <summary>Name of a pour that stands instead.</summary>
    public required string NewName { get; init; }
    public required long NowMs { get; init; }
}

/// <summary>A correction to insert, the pour that stands instead, and the pieces as it leaves them.</summary>
/// <param name="Right">Null where the pour did not occur.</param>
public sealed record PourCorrection(CorrectionRecord Correction, PourRecord? Right, IReadOnlyList<PieceRecord> Pieces);

/// <summary>A pour that was recorded wrongly is put right: another one stands instead, and its record stays.</summary>
public static class CorrectPour
{
    /// <exception cref="Refusal">FIELD_INVALID, all fields at once.</exception>
    public static void CheckShape(CorrectPourRequest request)
    {
        var studio = ResourceKind.Pour.Matches(request.Name) ? ResourceNames.StudioOf(request.Name) : null;
        var says = request.RightPiece.Length > 0 || request.RightMix.Length > 0 || request.MassMg != 0 || request.DepthMm != 0;
        var checks = new FieldChecks().Name("name", request.Name, ResourceKind.Pour);
        CorrectMix.CheckCorrection(checks, request.Kind, request.Person, request.Reason)
            .Require(says == (request.Kind == Correction.Types.Kind.IncorrectData), "kind",
                "must say what is right of incorrect data (right_piece, right_mix, mass_mg or depth_mm), and nothing of a pour that did not occur.")
            .Mass("mass_mg", request.MassMg, 0);
        if (request.DepthMm != 0) checks.Within("depth_mm", request.DepthMm, RecordPour.DepthMinMm, RecordPour.DepthMaxMm, "mm");
        if (request.RightPiece.Length > 0) checks.Name("right_piece", request.RightPiece, ResourceKind.Piece, studio);
        if (request.RightMix.Length > 0) checks.Name("right_mix", request.RightMix, ResourceKind.Mix, studio);
        checks.ThrowIfAny();
    }

    /// <exception cref="Refusal">NOTHING_TO_CORRECT, PIECE_DEMOLDED, SITE_MISMATCH, TIME_OUT_OF_ORDER, MIX_SHORT.</exception>
    public static PourCorrection Decide(CorrectPourRequest request, CorrectPourFacts facts) =>
        request.Kind == Correction.Types.Kind.DidNotOccur ? Undo(request, facts) : Change(request, facts);

    private static PourCorrection Undo(CorrectPourRequest request, CorrectPourFacts facts)
    {
        if (!facts.Stands) throw NothingToCorrect(facts.Pour, "it is said not to have occurred already");
        return new(
            Row(request, facts, null, [new() { What = $"pour {ResourceNames.IdOf(facts.Pour.Name)}", Recorded = Words(facts.Pour), Right = CorrectionJson.NeverHappened }]),
            null, [Without(facts.From, facts.Pour).Standing()]);
    }

    private static PourCorrection Change(CorrectPourRequest request, CorrectPourFacts facts)
    {
        var pour = Right(request, facts);
        Correction.Types.Change[] changes = [.. Changes(facts, pour)];
        if (changes.Length == 0) throw NothingToCorrect(facts.Pour, "all of it stands already");
        RequireInMould(facts.Into, pour);
        RecordPour.RequireOneSite(facts.Right);
        PieceRefusals.RequireNotBefore(pour.PourMs, facts.Right.Mix.MixMs, "pour", facts.Right.Mix.Name, "was mixed");
        RecordPour.RequireMass(pour.MassMg, facts.Right.Mix);
        var into = Without(facts.Into, facts.Pour);
        PieceRecord[] pieces = facts.From.Piece.Name == pour.Piece
            ? [(into with { Pours = [.. into.Pours, pour] }).Standing()]
            : [Without(facts.From, facts.Pour).Standing(), (into with { Pours = [.. into.Pours, pour] }).Standing()];
        return new(Row(request, facts, pour, changes), pour, pieces);
    }

    private static PourRecord Right(CorrectPourRequest request, CorrectPourFacts facts)
    {
        var (was, right) = (facts.Pour, facts.Right);
        var pour = was with
        {
            Name = facts.NewName,
            Piece = right.Piece.Name,
            Mix = right.Mix.Name,
            Bench = right.Bench.Name,
            MassMg = request.MassMg > 0 ? request.MassMg : was.MassMg,
            DepthMm = request.DepthMm > 0 ? request.DepthMm : was.DepthMm,
            LayerCount = right.Piece.Name == was.Piece ? was.LayerCount : right.Pours.Count(other => other.PourMs <= was.PourMs) + 1,
            RecordMs = facts.NowMs,
        };
        return pour with { Cautions = MessageListJson.Write(PourCautions.Of(pour.ToProto(), pour.PourMs, right)) };
    }

    private static IEnumerable<Correction.Types.Change> Changes(CorrectPourFacts facts, PourRecord right)
    {
        var was = facts.Pour;
        var what = $"pour {ResourceNames.IdOf(was.Name)}";
        Correction.Types.Change?[] all =
        [
            facts.Stands ? null : new() { What = what, Recorded = CorrectionJson.NeverHappened, Right = Words(right) },
            CorrectionJson.Change($"piece of {what}", ResourceNames.IdOf(was.Piece), ResourceNames.IdOf(right.Piece)),
            CorrectionJson.Change($"mix of {what}", ResourceNames.IdOf(was.Mix), ResourceNames.IdOf(right.Mix)),
            CorrectionJson.Change($"mass of {what}", Amounts.Grams(was.MassMg), Amounts.Grams(right.MassMg)),
            CorrectionJson.Change($"depth of {what}", $"{RecordPour.Millimetres(was.DepthMm)} mm", $"{RecordPour.Millimetres(right.DepthMm)} mm"),
            CorrectionJson.Change($"bench of {what}", ResourceNames.IdOf(was.Bench), ResourceNames.IdOf(right.Bench)),
        ];
        return all.OfType<Correction.Types.Change>();
    }

    private static string Words(PourRecord pour) =>
        $"{Amounts.Grams(pour.MassMg)} of {ResourceNames.IdOf(pour.Mix)}, {RecordPour.Millimetres(pour.DepthMm)} mm deep, into {ResourceNames.IdOf(pour.Piece)}";

    private static PieceHistory Without(PieceHistory piece, PourRecord pour) =>
        piece with { Pours = [.. piece.Pours.Where(other => other.Name != pour.Name)] };

    private static CorrectionRecord Row(
        CorrectPourRequest request, CorrectPourFacts facts, PourRecord? right, IEnumerable<Correction.Types.Change> changes) => new()
        {
            Site = facts.From.Piece.Site,
            Subject = facts.Pour.Name,
            Kind = CorrectionRecord.KindOf(request.Kind),
            Person = request.Person,
            Reason = request.Reason,
            CorrectMs = facts.NowMs,
            Changes = CorrectionJson.Write(changes),
            RightPour = right?.Name,
        };

    private static Refusal NothingToCorrect(PourRecord pour, string why) => Refusal.Precondition(Reasons.NothingToCorrect,
        $"Nothing of {ResourceNames.IdOf(pour.Name)} would change: {why}. Say what is right, if it is otherwise.", ("name", pour.Name));

    private static void RequireInMould(PieceHistory into, PourRecord pour)
    {
        var left = into.Steps.FirstOrDefault(step =>
            step.Kind is Step.Types.Kind.Demold or Step.Types.Kind.HandOver or Step.Types.Kind.Scrap && step.StepMs < pour.PourMs);
        if (left is not null)
            throw Refusal.Precondition(Reasons.PieceDemolded,
                $"Piece '{into.Piece.Name}' was out of its mould at {Storage.Instants.Utc(left.StepMs)}, before the pour at {Storage.Instants.Utc(pour.PourMs)}. Name the piece that it really went into.",
                ("piece", into.Piece.Name), ("pour_time", Storage.Instants.Utc(pour.PourMs)), ("step_time", Storage.Instants.Utc(left.StepMs)));
    }
}
