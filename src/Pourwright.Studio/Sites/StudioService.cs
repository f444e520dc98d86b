using Grpc.Core;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Sites;

/// <summary>gRPC of studios.proto.</summary>
public sealed class StudioService(WriteRequests writes, StudioReads reads) : V1.StudioService.StudioServiceBase
{
    public override Task<V1.Studio> CreateStudio(CreateStudioRequest request, ServerCallContext context)
    {
        request.Studio ??= new();
        new FieldChecks().NewId("studio_id", request.StudioId).Text("studio.display_name", request.Studio.DisplayName, 80).ThrowIfAny();
        return writes.RunAsync(request, tx =>
        {
            var studio = new StudioRecord
            {
                Name = ResourceKind.Studio.Under("", ResourceKind.Studio.IdOrNew(request.StudioId)),
                DisplayName = request.Studio.DisplayName,
            };
            SiteStore.InsertStudio(tx, studio);
            return studio.ToProto();
        }, context.CancellationToken);
    }

    public override Task<V1.Studio> GetStudio(GetStudioRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.Studio).ThrowIfAny();
        return Task.FromResult(reads.Read(session => SiteStore.GetStudio(session, request.Name).ToProto()));
    }

    public override Task<ListStudiosResponse> ListStudios(ListStudiosRequest request, ServerCallContext context)
    {
        var page = Paging.Read(request.PageSize, request.PageToken, nameof(ListStudios));
        var (items, next) = page.Cut(reads.Read(session => SiteStore.ListStudios(session, page)), studio => studio.Name);
        return Task.FromResult(new ListStudiosResponse { Studios = { items.Select(studio => studio.ToProto()) }, NextPageToken = next });
    }
}
