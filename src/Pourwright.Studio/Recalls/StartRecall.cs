using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.V1;
using Where = Pourwright.V1.RecallPiece.Types.Where;

namespace Pourwright.Studio.Recalls;

/// <summary>What a recall or a drill is started with, by whom and when. Times in Unix ms.</summary>
/// <param name="HoldMs">Null: holds nothing.</param>
public sealed record RecallStart(string Name, RecallFrom From, string Reason, string Starter, long StartMs, long ListMs, long? HoldMs);

/// <summary>Freezes what was found.</summary>
public static class StartRecall
{
    /// <exception cref="Refusal">FIELD_INVALID, all fields at once.</exception>
    public static void CheckShape(StartRecallRequest request)
    {
        var checks = new FieldChecks()
            .Name("parent", request.Parent, ResourceKind.Studio)
            .Text("reason", request.Reason, 500, 3)
            .Text("starter", request.Starter, 80)
            .NewId("recall_id", request.RecallId);
        RecallFrom.Check(checks, request.Scope, request.Parent);
        checks.ThrowIfAny();
    }

    /// <inheritdoc cref="CheckShape(StartRecallRequest)"/>
    public static void CheckShape(StartDrillRequest request)
    {
        var checks = new FieldChecks()
            .Name("parent", request.Parent, ResourceKind.Studio)
            .Text("seed", request.Seed, 80, 0)
            .Text("starter", request.Starter, 80)
            .NewId("recall_id", request.RecallId);
        if (request.Piece.Length > 0) checks.Name("piece", request.Piece, ResourceKind.Piece, request.Parent);
        if (request.Scope is not null) RecallFrom.Check(checks, request.Scope, request.Parent);
        checks.ThrowIfAny();
    }

    /// <exception cref="Refusal">RECALL_EMPTY.</exception>
    public static void RequireReached(RecallFrom from, Reach reach)
    {
        if (reach.IsEmpty)
            throw Refusal.Precondition(Reasons.RecallEmpty,
                $"Nothing on record was reached from {from.InWords()}: no piece, no mix and no container with anything in it. Check the name and the day.", ("scope", from.Name));
    }

    /// <summary>The row of a recall; with a proof, of a drill.</summary>
    public static RecallRecord Decide(RecallStart start, RecallFindings findings, DrillProof? proof = null)
    {
        var (list, people) = (findings.List, findings.People);
        var gaps = FindGaps.Decide(findings, proof);
        var found = new Recall { List = list, DrillProof = proof, Gaps = { gaps.Select(gap => gap.Text) }, GapStatements = { gaps } };
        if (proof is not null) found.Notices.Add(people.Select(person => person.ToProto()));
        return new()
        {
            Name = start.Name,
            Studio = ResourceNames.StudioOf(start.Name),
            Drill = proof is not null,
            Scope = start.From.Name,
            ScopeDate = start.From.Column,
            Reason = start.Reason,
            Starter = start.Starter,
            StartMs = start.StartMs,
            ListMs = start.ListMs,
            HoldMs = start.HoldMs,
            PieceCount = list.Pieces.Count,
            HandedOverCount = list.Pieces.Count(piece => piece.Where == Where.HandedOver),
            StockMassMg = list.Stock.Sum(stock => stock.RemainingMassMg),
            PersonCount = people.Count,
            ReachableCount = people.Count(person => person.IsReachable),
            Found = RecallRecord.Write(found),
        };
    }
}
