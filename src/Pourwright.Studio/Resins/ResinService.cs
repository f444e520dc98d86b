using Grpc.Core;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Resins;

/// <summary>gRPC of resins.proto.</summary>
public sealed class ResinService(WriteRequests writes, StudioReads reads, ResinModels models) : V1.ResinService.ResinServiceBase
{
    public override Task<ResinSystem> CreateResinSystem(CreateResinSystemRequest request, ServerCallContext context)
    {
        Resins.CreateResinSystem.Check(request);
        return writes.RunAsync(request, tx =>
        {
            var studio = SiteStore.GetStudio(tx, request.Parent);
            var name = ResourceKind.ResinSystem.Under(studio.Name, ResourceKind.ResinSystem.IdOrNew(request.ResinSystemId));
            var system = Resins.CreateResinSystem.Decide(request, name);
            ResinStore.InsertResinSystem(tx, system);
            return system.ToProto();
        }, context.CancellationToken);
    }

    public override Task<ResinSystem> GetResinSystem(GetResinSystemRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.ResinSystem).ThrowIfAny();
        return Task.FromResult(reads.Read(session => ResinStore.GetResinSystem(session, request.Name).ToProto()));
    }

    public override Task<ListResinSystemsResponse> ListResinSystems(ListResinSystemsRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("parent", request.Parent, ResourceKind.Studio).ThrowIfAny();
        var page = Paging.Read(request.PageSize, request.PageToken, nameof(ListResinSystems), request.Parent);
        return Task.FromResult(reads.Read(session =>
        {
            SiteStore.GetStudio(session, request.Parent);
            var (systems, next) = page.Cut(ResinStore.ListResinSystems(session, request.Parent, page), system => system.Name);
            return new ListResinSystemsResponse { ResinSystems = { systems.Select(system => system.ToProto()) }, NextPageToken = next };
        }));
    }

    public override Task<ResinCalibration> GetResinCalibration(GetResinCalibrationRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.ResinSystem).ThrowIfAny();
        var system = reads.Read(session => ResinStore.GetResinSystem(session, request.Name));
        return Task.FromResult(CalibrationReport.Of(system, models.Of(system)));
    }
}
