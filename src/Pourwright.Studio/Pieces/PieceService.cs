using Grpc.Core;
using Pourwright.Studio.Access;
using Pourwright.Studio.Mixes;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Resins;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Pieces;

/// <summary>gRPC of pieces.proto.</summary>
public sealed class PieceService(WriteRequests writes, StudioReads reads, PieceOptions options) : V1.PieceService.PieceServiceBase
{
    public override Task<Piece> CreatePiece(CreatePieceRequest request, ServerCallContext context)
    {
        Pieces.CreatePiece.CheckShape(request);
        return writes.RunAsync(request, tx =>
        {
            SiteStore.GetStudio(tx, request.Parent);
            SiteStore.GetSite(tx, request.Piece.Site);
            var name = ResourceKind.Piece.Under(request.Parent, ResourceKind.Piece.IdOrNew(request.PieceId));
            var className = Pieces.CreatePiece.NamesClass(request.Piece) ? PieceStore.GetClassDisplayName(tx, request.Piece.CastingClass) : "";
            var piece = Pieces.CreatePiece.Decide(name, request.Piece, className);
            PieceStore.InsertPiece(tx, piece);
            return piece.ToProto();
        }, context.CancellationToken);
    }

    public override Task<Piece> GetPiece(GetPieceRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.Piece).ThrowIfAny();
        return Task.FromResult(reads.Read(session => PieceStore.GetPiece(session, request.Name).ToProto()));
    }

    public override Task<ListPiecesResponse> ListPieces(ListPiecesRequest request, ServerCallContext context)
    {
        var checks = new FieldChecks()
            .Name("parent", request.Parent, ResourceKind.Studio)
            .Require(request.State is >= Piece.Types.State.Unspecified and <= Piece.Types.State.Scrapped, "state",
                "must be a state of a piece, or not said.", $"{(int)request.State}");
        if (request.Site.Length > 0) checks.Name("site", request.Site, ResourceKind.Site, request.Parent);
        checks.ThrowIfAny();
        var page = Paging.Read(request.PageSize, request.PageToken, nameof(ListPieces), request.Parent, request.Site, $"{request.State}");
        return Task.FromResult(reads.Read(session =>
        {
            SiteStore.GetStudio(session, request.Parent);
            var (pieces, next) = page.Cut(
                PieceStore.ListPieces(session, request.Parent, request.Site, request.State, page), piece => piece.Name);
            return new ListPiecesResponse { Pieces = { pieces.Select(piece => piece.ToProto()) }, NextPageToken = next };
        }));
    }

    public override Task<Pour> RecordPour(RecordPourRequest request, ServerCallContext context)
    {
        Pieces.RecordPour.CheckShape(request);
        return writes.RunAsync(request, tx =>
        {
            var nowMs = tx.Now.ToUnixMs();
            var name = ResourceKind.Pour.Under(request.Parent, ResourceKind.Pour.IdOrNew(request.PourId));
            var facts = LoadPourFacts(tx, request, Pieces.RecordPour.TimeOf(request.Pour, nowMs));
            var decision = Pieces.RecordPour.Decide(name, request.Pour, facts, nowMs);
            PieceStore.SavePour(tx, decision);
            return decision.Pour.ToProto();
        }, context.CancellationToken);
    }

    public override Task<Pour> GetPour(GetPourRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.Pour).ThrowIfAny();
        return Task.FromResult(reads.Read(session => PieceStore.ToProto(session, PieceStore.GetPour(session, request.Name))));
    }

    public override Task<ListPoursResponse> ListPours(ListPoursRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("parent", request.Parent, ResourceKind.Piece).ThrowIfAny();
        var page = Paging.Read(request.PageSize, request.PageToken, nameof(ListPours), request.Parent);
        return Task.FromResult(reads.Read(session =>
        {
            PieceStore.GetPiece(session, request.Parent);
            var (pours, next) = page.Cut(PieceStore.ListPours(session, request.Parent, page), pour => pour.LayerCount);
            return new ListPoursResponse { Pours = { pours.Select(pour => PieceStore.ToProto(session, pour)) }, NextPageToken = next };
        }));
    }

    public override Task<Pour> CorrectPour(CorrectPourRequest request, ServerCallContext context)
    {
        Pieces.CorrectPour.CheckShape(request);
        var caller = Caller.Of(context.GetHttpContext())!;
        return writes.RunAsync(request, tx =>
        {
            var facts = LoadCorrection(tx, request);
            TakingBack.Decide(caller, nameof(CorrectPour), request.Kind, facts.Pour.RecordMs, facts.NowMs);
            var decision = Pieces.CorrectPour.Decide(request, facts);
            PieceStore.SaveCorrection(tx, decision);
            return PieceStore.ToProto(tx, PieceStore.GetPour(tx, decision.Right?.Name ?? decision.Correction.Subject));
        }, context.CancellationToken);
    }

    public override Task<Check> RecordCheck(RecordCheckRequest request, ServerCallContext context)
    {
        Pieces.RecordCheck.CheckShape(request);
        return writes.RunAsync(request, tx =>
        {
            var piece = PieceStore.GetPiece(tx, request.Parent);
            var name = ResourceKind.Check.Under(piece.Name, ResourceKind.Check.IdOrNew(request.CheckId));
            var check = Pieces.RecordCheck.Decide(name, piece.Name, request.Check, PieceStore.FindGates(tx, piece.Name), tx.Now.ToUnixMs());
            PieceStore.SaveCheck(tx, check);
            return check.ToProto();
        }, context.CancellationToken);
    }

    public override Task<ListChecksResponse> ListChecks(ListChecksRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("parent", request.Parent, ResourceKind.Piece).ThrowIfAny();
        var page = Paging.Read(request.PageSize, request.PageToken, nameof(ListChecks), request.Parent);
        return Task.FromResult(reads.Read(session =>
        {
            PieceStore.GetPiece(session, request.Parent);
            var (checks, next) = page.Cut(
                PieceStore.ListChecks(session, request.Parent, page), check => EventKey.Of(check.CheckMs, check.RecordMs, check.Name));
            return new ListChecksResponse { Checks = { checks.Select(check => check.ToProto()) }, NextPageToken = next };
        }));
    }

    public override Task<Step> RecordStep(RecordStepRequest request, ServerCallContext context)
    {
        Pieces.RecordStep.CheckShape(request);
        return writes.RunAsync(request, tx =>
        {
            var name = ResourceKind.Step.Under(request.Parent, ResourceKind.Step.IdOrNew(request.StepId));
            var decision = Pieces.RecordStep.Decide(name, request.Step, LoadStepFacts(tx, request), tx.Now.ToUnixMs());
            PieceStore.SaveStep(tx, decision);
            return decision.Step.ToProto();
        }, context.CancellationToken);
    }

    public override Task<ListStepsResponse> ListSteps(ListStepsRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("parent", request.Parent, ResourceKind.Piece).ThrowIfAny();
        var page = Paging.Read(request.PageSize, request.PageToken, nameof(ListSteps), request.Parent);
        return Task.FromResult(reads.Read(session =>
        {
            PieceStore.GetPiece(session, request.Parent);
            var (steps, next) = page.Cut(
                PieceStore.ListSteps(session, request.Parent, page), step => EventKey.Of(step.StepMs, step.RecordMs, step.Name));
            return new ListStepsResponse { Steps = { steps.Select(step => step.ToProto()) }, NextPageToken = next };
        }));
    }

    public override Task<Piece> HoldPiece(HoldPieceRequest request, ServerCallContext context)
    {
        CheckHold(request.Name, request.Reason, request.Person);
        return writes.RunAsync(request, tx => SaveHold(tx, request.Name, (piece, isHeld) =>
            PieceHolds.Hold(piece, isHeld, "", request.Reason, request.Person, tx.Now.ToUnixMs())), context.CancellationToken);
    }

    public override Task<Piece> ReleasePiece(ReleasePieceRequest request, ServerCallContext context)
    {
        CheckHold(request.Name, request.Reason, request.Person);
        return writes.RunAsync(request, tx => SaveHold(tx, request.Name, (piece, isHeld) =>
            PieceHolds.Release(piece, isHeld, "", request.Reason, request.Person, tx.Now.ToUnixMs())), context.CancellationToken);
    }

    private static Piece SaveHold(StudioTransaction tx, string name, Func<PieceRecord, bool, PieceHoldRecord?> decide)
    {
        var piece = PieceStore.GetPiece(tx, name);
        if (decide(piece, PieceHoldStore.IsHeldBy(tx, name, "")) is { } hold) PieceHoldStore.Insert(tx, [hold]);
        return PieceStore.GetPiece(tx, name).ToProto();
    }

    private static void CheckHold(string name, string reason, string person) => new FieldChecks()
        .Name("name", name, ResourceKind.Piece).Text("reason", reason, 500, 3).Text("person", person, 80).ThrowIfAny();

    private PourFacts LoadPourFacts(StudioSession session, RecordPourRequest request, long pourMs)
    {
        var piece = PieceStore.GetPiece(session, request.Parent);
        var mix = MixStore.GetMix(session, request.Pour.Mix);
        var bench = SiteStore.GetBench(session, request.Pour.Bench);
        return new()
        {
            Piece = piece,
            Site = SiteStore.GetSite(session, piece.Site),
            Bench = bench,
            Mix = mix,
            ResinSystem = ResinStore.GetResinSystem(session, mix.ResinSystem),
            Pours = PieceStore.GetPours(session, piece.Name),
            ResinSystemsBelow = PieceStore.GetResinSystems(session, piece.Name),
            LastMoveMs = PieceStore.GetSteps(session, piece.Name).LastOrDefault(step => step.Kind == Step.Types.Kind.Move)?.StepMs,
            Air = PieceStore.FindAir(session, bench, pourMs),
            Options = options,
        };
    }

    private CorrectPourFacts LoadCorrection(StudioTransaction session, CorrectPourRequest request)
    {
        var (pour, stands) = PieceStore.StandingPour(session, request.Name);
        var from = LoadHistory(session, pour.Piece);
        var into = request.RightPiece.Length > 0 ? LoadHistory(session, request.RightPiece) : from;
        var others = into.Pours.Where(other => other.Name != pour.Name).ToList();
        var mix = MixStore.GetMix(session, request.RightMix.Length > 0 ? request.RightMix : pour.Mix);
        // Whoever names the wrong piece names its bench as well.
        var bench = SiteStore.GetBench(session, into == from ? pour.Bench : into.BenchBefore(pour.PourMs) ?? pour.Bench);
        return new()
        {
            Pour = pour,
            Stands = stands,
            From = from,
            Into = into,
            Right = new()
            {
                Piece = into.Piece,
                Site = SiteStore.GetSite(session, into.Piece.Site),
                Bench = bench,
                Mix = stands && mix.Name == pour.Mix ? mix with { RemainingMassMg = mix.RemainingMassMg + pour.MassMg } : mix,
                ResinSystem = ResinStore.GetResinSystem(session, mix.ResinSystem),
                Pours = [.. others.Where(other => other.PourMs <= pour.PourMs)],
                ResinSystemsBelow = [.. others.Where(other => other.PourMs <= pour.PourMs).Select(other => MixStore.GetMix(session, other.Mix).ResinSystem).Distinct()],
                Air = PieceStore.FindAir(session, bench, pour.PourMs),
                Options = options,
            },
            NewName = ResourceKind.Pour.Under(into.Piece.Name, ResourceKind.Pour.NewId()),
            NowMs = session.Now.ToUnixMs(),
        };
    }

    private static PieceHistory LoadHistory(StudioSession session, string piece) =>
        new(PieceStore.GetPiece(session, piece), PieceStore.GetPours(session, piece), PieceStore.GetSteps(session, piece));

    private static StepFacts LoadStepFacts(StudioSession session, RecordStepRequest request)
    {
        var piece = PieceStore.GetPiece(session, request.Parent);
        return new()
        {
            Piece = piece,
            Site = SiteStore.GetSite(session, piece.Site),
            Bench = request.Step.Bench.Length > 0 ? SiteStore.GetBench(session, request.Step.Bench) : null,
            Pours = PieceStore.GetPours(session, piece.Name),
            Steps = PieceStore.GetSteps(session, piece.Name),
            Checks = PieceStore.GetChecks(session, piece.Name),
            Gates = PieceStore.FindGates(session, piece.Name),
        };
    }
}
