using Grpc.Core;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Resins;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Offerings;

/// <summary>gRPC of offerings.proto.</summary>
public sealed class OfferingService(WriteRequests writes, StudioReads reads) : V1.OfferingService.OfferingServiceBase
{
    public override Task<Offering> CreateOffering(CreateOfferingRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("parent", request.Parent, ResourceKind.Studio).NewId("offering_id", request.OfferingId).ThrowIfAny();
        return writes.RunAsync(request, tx =>
        {
            var studio = SiteStore.GetStudio(tx, request.Parent);
            var name = ResourceKind.Offering.Under(studio.Name, ResourceKind.Offering.IdOrNew(request.OfferingId));
            var offering = Decide(tx, name, request.Offering ?? new());
            OfferingStore.InsertOffering(tx, offering);
            return offering.ToProto();
        }, context.CancellationToken);
    }

    public override Task<Offering> GetOffering(GetOfferingRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.Offering).ThrowIfAny();
        return Task.FromResult(reads.Read(session => OfferingStore.GetOffering(session, request.Name).ToProto()));
    }

    public override Task<ListOfferingsResponse> ListOfferings(ListOfferingsRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("parent", request.Parent, ResourceKind.Studio).ThrowIfAny();
        var page = Paging.Read(request.PageSize, request.PageToken, nameof(ListOfferings), request.Parent);
        return Task.FromResult(reads.Read(session =>
        {
            SiteStore.GetStudio(session, request.Parent);
            var (offerings, next) = page.Cut(OfferingStore.ListOfferings(session, request.Parent, page), offering => offering.Name);
            return new ListOfferingsResponse { Offerings = { offerings.Select(offering => offering.ToProto()) }, NextPageToken = next };
        }));
    }

    public override Task<Offering> UpdateOffering(UpdateOfferingRequest request, ServerCallContext context)
    {
        request.Offering ??= new();
        new FieldChecks().Name("offering.name", request.Offering.Name, ResourceKind.Offering).ThrowIfAny();
        return writes.RunAsync(request, tx =>
        {
            var current = OfferingStore.GetOffering(tx, request.Offering.Name);
            var merged = DescribeOffering.Merge(current.ToProto(), request.Offering, request.UpdateMask);
            var offering = Decide(tx, current.Name, merged);
            OfferingStore.UpdateOffering(tx, offering);
            return offering.ToProto();
        }, context.CancellationToken);
    }

    private static OfferingRecord Decide(StudioTransaction tx, string name, Offering offering)
    {
        var studio = ResourceNames.StudioOf(name);
        CheckOffering.Shape(offering, studio);
        var resin = ResinStore.GetResinSystem(tx, offering.ResinSystem);
        if (offering.SealCoatResinSystem.Length > 0) ResinStore.GetResinSystem(tx, offering.SealCoatResinSystem);
        return DescribeOffering.Decide(name, studio, offering, resin, tx.NewEtag());
    }
}
