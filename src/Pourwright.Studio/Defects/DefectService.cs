using Grpc.Core;
using Pourwright.Studio.Names;
using Pourwright.Studio.Pieces;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Defects;

/// <summary>gRPC of defects.proto.</summary>
public sealed class DefectService(WriteRequests writes, StudioReads reads) : V1.DefectService.DefectServiceBase
{
    public override Task<Defect> ReportDefect(ReportDefectRequest request, ServerCallContext context)
    {
        Defects.ReportDefect.CheckShape(request);
        return writes.RunAsync(request, tx =>
        {
            PieceStore.GetPiece(tx, request.Defect.Piece);
            var name = ResourceKind.Defect.Under(request.Parent, ResourceKind.Defect.IdOrNew(request.DefectId));
            var defect = Defects.ReportDefect.Decide(name, request.Defect, tx.Now.ToUnixMs());
            DefectStore.InsertDefect(tx, defect);
            return defect.ToProto();
        }, context.CancellationToken);
    }

    public override Task<Defect> GetDefect(GetDefectRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.Defect).ThrowIfAny();
        return Task.FromResult(reads.Read(session => DefectStore.GetDefect(session, request.Name).ToProto()));
    }

    public override Task<ListDefectsResponse> ListDefects(ListDefectsRequest request, ServerCallContext context)
    {
        var checks = new FieldChecks().Name("parent", request.Parent, ResourceKind.Studio);
        if (request.Piece.Length > 0) checks.Name("piece", request.Piece, ResourceKind.Piece, request.Parent);
        checks.ThrowIfAny();
        var page = Paging.Read(request.PageSize, request.PageToken, nameof(ListDefects), request.Parent, request.Piece);
        return Task.FromResult(reads.Read(session =>
        {
            SiteStore.GetStudio(session, request.Parent);
            var (defects, next) = page.Cut(
                DefectStore.ListDefects(session, request.Parent, request.Piece, page), defect => defect.Name);
            return new ListDefectsResponse { Defects = { defects.Select(defect => defect.ToProto()) }, NextPageToken = next };
        }));
    }
}
