using Grpc.Core;
using Pourwright.Studio.Lots;
using Pourwright.Studio.Names;
using Pourwright.Studio.Offerings;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Classes.Moulds;

/// <summary>gRPC of moulds.proto.</summary>
public sealed class MouldService(WriteRequests writes, StudioReads reads) : V1.MouldService.MouldServiceBase
{
    public override Task<Mould> CreateMould(CreateMouldRequest request, ServerCallContext context)
    {
        var mould = request.Mould ?? new();
        new FieldChecks()
            .Name("parent", request.Parent, ResourceKind.Site)
            .NewId("mould_id", request.MouldId)
            .Text("mould.display_name", mould.DisplayName, 80)
            .Within("mould.length_mm", mould.LengthMm, 10, 5000, "mm")
            .Within("mould.width_mm", mould.WidthMm, 10, 5000, "mm")
            .Within("mould.depth_mm", mould.DepthMm, 1, 600, "mm")
            .Require(!mould.HasMouldCount || mould.MouldCount is >= 1 and <= Moulds.BookMoulds.CountMax, "mould.mould_count",
                $"must be 1 to {Moulds.BookMoulds.CountMax}.", $"{mould.MouldCount}")
            .ThrowIfAny();
        return writes.RunAsync(request, tx =>
        {
            var record = new MouldRecord
            {
                Name = ResourceKind.Mould.Under(SiteStore.GetSite(tx, request.Parent).Name, ResourceKind.Mould.IdOrNew(request.MouldId)),
                Site = request.Parent,
                DisplayName = mould.DisplayName,
                LengthMm = mould.LengthMm,
                WidthMm = mould.WidthMm,
                DepthMm = mould.DepthMm,
                Count = mould.HasMouldCount ? mould.MouldCount : 1,
            };
            MouldStore.InsertMould(tx, record);
            return record.ToProto();
        }, context.CancellationToken);
    }

    public override Task<Mould> GetMould(GetMouldRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.Mould).ThrowIfAny();
        return Task.FromResult(reads.Read(session => MouldStore.GetMould(session, request.Name).ToProto()));
    }

    public override Task<ListMouldsResponse> ListMoulds(ListMouldsRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("parent", request.Parent, ResourceKind.Site).ThrowIfAny();
        var page = Paging.Read(request.PageSize, request.PageToken, nameof(ListMoulds), request.Parent);
        return Task.FromResult(reads.Read(session =>
        {
            SiteStore.GetSite(session, request.Parent);
            var (moulds, next) = page.Cut(MouldStore.ListMoulds(session, request.Parent, page), mould => mould.Name);
            return new ListMouldsResponse { Moulds = { moulds.Select(mould => mould.ToProto()) }, NextPageToken = next };
        }));
    }

    public override Task<FreeMoulds> AskFreeMoulds(AskFreeMouldsRequest request, ServerCallContext context)
    {
        new FieldChecks()
            .Name("site", request.Site, ResourceKind.Site)
            .Name("casting_class", request.CastingClass, ResourceKind.CastingClass)
            .OptionalTime("start_time", request.StartTime)
            .OptionalTime("end_time", request.EndTime)
            .ThrowIfAny();
        return Task.FromResult(reads.Read(session =>
        {
            SiteStore.GetSite(session, request.Site);
            var castingClass = ClassStore.GetClass(session, request.CastingClass);
            var moulds = MouldStore.GetMoulds(session, request.Site);
            return Moulds.AskFreeMoulds.Decide(
                castingClass, OfferingStore.GetOffering(session, castingClass.Offering), moulds, MouldStore.GetHolds(session, castingClass.Name),
                MouldStore.GetHoldsOfOthers(session, [.. moulds.Select(mould => mould.Name)], castingClass.Name),
                MouldSpan.Asked(request.StartTime.ToUnixMsOrNull(), request.EndTime.ToUnixMsOrNull(), ClassStore.GetSessions(session, castingClass.Name)));
        }));
    }

    public override Task<MouldBooking> BookMoulds(BookMouldsRequest request, ServerCallContext context)
    {
        new FieldChecks()
            .Name("mould", request.Mould, ResourceKind.Mould)
            .Name("casting_class", request.CastingClass, ResourceKind.CastingClass)
            .Require(request.MouldCount is >= 0 and <= Moulds.BookMoulds.CountMax, "mould_count", $"must be 0 to {Moulds.BookMoulds.CountMax}.", $"{request.MouldCount}")
            .ThrowIfAny();
        return writes.RunAsync(request, tx =>
        {
            var hold = Moulds.BookMoulds.Decide(Load(tx, request), request.MouldCount);
            MouldStore.Book(tx, hold.Mould, hold.Class, hold.Count);
            return hold.ToProto();
        }, context.CancellationToken);
    }

    private static BookFacts Load(StudioSession session, BookMouldsRequest request)
    {
        var castingClass = ClassStore.GetClass(session, request.CastingClass);
        var mould = MouldStore.GetMould(session, request.Mould);
        return new(castingClass, OfferingStore.GetOffering(session, castingClass.Offering), ClassStore.GetSessions(session, castingClass.Name),
            mould, MouldStore.GetHoldsOfOthers(session, [mould.Name], castingClass.Name));
    }
}
