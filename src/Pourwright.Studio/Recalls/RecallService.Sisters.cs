using Grpc.Core;
using Pourwright.Studio.Defects;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.Studio.Trace;
using Pourwright.V1;
using Level = Pourwright.V1.HoldSistersRequest.Types.Level;

namespace Pourwright.Studio.Recalls;

/// <summary>Holds of sisters, masses and scales.</summary>
public sealed partial class RecallService
{
    public override Task<SisterHolds> HoldSisters(HoldSistersRequest request, ServerCallContext context)
    {
        new FieldChecks()
            .Name("name", request.Name, ResourceKind.Defect)
            .Require(request.Level is Level.Mix or Level.Lot, "level", "must be LEVEL_MIX or LEVEL_LOT.", $"{request.Level}")
            .Text("person", request.Person, 80)
            .ThrowIfAny();
        return writes.RunAsync(request, tx =>
        {
            var defect = DefectStore.GetDefect(tx, request.Name);
            var words = new DefectWords(defect.Name, TraceWords.Of(defect.Kind), request.Level == Level.Mix ? "a mix" : "a lot");
            var outcome = HoldStore.Hold(tx, Sisters(tx, defect.Piece, request.Level),
                new(defect.Name, RecallTexts.HoldReason(words), request.Person, tx.Now.ToUnixMs()));
            var list = ListRecall.Decide(Sisters(tx, defect.Piece, request.Level), TraceStore.LoadPlaces(tx, defect.Studio));
            return Told(outcome, list);
        }, context.CancellationToken);
    }

    public override Task<SisterHolds> ReleaseSisters(ReleaseSistersRequest request, ServerCallContext context)
    {
        new FieldChecks()
            .Name("name", request.Name, ResourceKind.Defect)
            .Text("reason", request.Reason, 500, 3)
            .Text("person", request.Person, 80)
            .ThrowIfAny();
        return writes.RunAsync(request, tx => Told(
            HoldStore.Release(tx, new(DefectStore.GetDefect(tx, request.Name).Name, request.Reason, request.Person, tx.Now.ToUnixMs())), new()),
            context.CancellationToken);
    }

    public override Task<Reconciliation> GetReconciliation(GetReconciliationRequest request, ServerCallContext context)
    {
        new FieldChecks()
            .Require(ResourceKind.Lot.Matches(request.Name) || ResourceKind.Container.Matches(request.Name) || ResourceKind.Mix.Matches(request.Name), "name",
                $"must be a name like {ResourceKind.Lot.Pattern}, {ResourceKind.Container.Pattern} or {ResourceKind.Mix.Pattern}.", request.Name)
            .ThrowIfAny();
        return Task.FromResult(reads.Read(session => ReconcileStore.Reconcile(session, request.Name, NowMs)));
    }

    public override Task<Scale> SetScale(SetScaleRequest request, ServerCallContext context)
    {
        var scale = Recalls.SetScale.Decide(request);
        return writes.RunAsync(request, tx =>
        {
            SiteStore.GetSite(tx, request.Parent);
            ReconcileStore.SaveScale(tx, scale);
            return scale.ToProto();
        }, context.CancellationToken);
    }

    public override Task<ListScalesResponse> ListScales(ListScalesRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("parent", request.Parent, ResourceKind.Site).ThrowIfAny();
        var page = Paging.Read(request.PageSize, request.PageToken, nameof(ListScales), request.Parent);
        return Task.FromResult(reads.Read(session =>
        {
            SiteStore.GetSite(session, request.Parent);
            var (scales, next) = page.Cut(ReconcileStore.ListScales(session, request.Parent, page), scale => scale.Scale);
            return new ListScalesResponse { Scales = { scales.Select(scale => scale.ToProto()) }, NextPageToken = next };
        }));
    }

    private static Reach Sisters(StudioSession session, string piece, Level level)
    {
        var ancestry = ReachStore.Ancestry(session, piece);
        return level == Level.Mix ? ReachStore.OfMixes(session, ancestry.Mixes) : ReachStore.OfLots(session, ancestry.Lots);
    }

    private static SisterHolds Told(HoldOutcome outcome, RecallList list) => new()
    {
        Pieces = { outcome.Pieces },
        Lots = { outcome.Stock },
        Unchanged = { outcome.Unchanged },
        HandedOver = { list.Pieces.Where(piece => piece.Where == RecallPiece.Types.Where.HandedOver).Select(piece => piece.Piece) },
        Stock = { list.Stock },
        OpenMixes = { list.OpenMixes },
    };
}
