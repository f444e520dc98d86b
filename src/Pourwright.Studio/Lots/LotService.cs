using Grpc.Core;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Resins;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Lots;

/// <summary>gRPC of lots.proto.</summary>
public sealed class LotService(WriteRequests writes, StudioReads reads) : V1.LotService.LotServiceBase
{
    public override Task<Lot> ReceiveLot(ReceiveLotRequest request, ServerCallContext context)
    {
        Lots.ReceiveLot.Check(request);
        return writes.RunAsync(request, tx =>
        {
            SiteStore.GetStudio(tx, request.Parent);
            if (request.Lot.ResinSystem.Length > 0) ResinStore.GetResinSystem(tx, request.Lot.ResinSystem);
            var sites = request.Containers.Select(receipt => SiteStore.GetSite(tx, receipt.Site)).ToList();
            var name = ResourceKind.Lot.Under(request.Parent, ResourceKind.Lot.IdOrNew(request.LotId));
            LotStore.RequireNewLot(tx, name);
            var names = request.Containers.Select(receipt => NewContainer(tx, request.Parent, receipt.ContainerId)).ToList();
            var before = LotStore.LotsOfSupplierCode(tx, request.Parent, request.Lot.SupplierLotCode);
            var (lot, containers) = Lots.ReceiveLot.Decide(request, name, names, sites, before, tx.Now.ToUnixMs());
            LotStore.InsertLot(tx, lot);
            LotStore.Save(tx, containers);
            return lot.ToProto();
        }, context.CancellationToken);
    }

    public override Task<Lot> GetLot(GetLotRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.Lot).ThrowIfAny();
        return Task.FromResult(reads.Read(session => LotStore.GetLot(session, request.Name).ToProto()));
    }

    public override Task<ListLotsResponse> ListLots(ListLotsRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("parent", request.Parent, ResourceKind.Studio).ThrowIfAny();
        var page = Paging.Read(request.PageSize, request.PageToken, nameof(ListLots), request.Parent);
        return Task.FromResult(reads.Read(session =>
        {
            SiteStore.GetStudio(session, request.Parent);
            var (lots, next) = page.Cut(LotStore.ListLots(session, request.Parent, page), lot => lot.Name);
            return new ListLotsResponse { Lots = { lots.Select(lot => lot.ToProto()) }, NextPageToken = next };
        }));
    }

    public override Task<Lot> HoldLot(HoldLotRequest request, ServerCallContext context)
    {
        CheckReason(request.Name, ResourceKind.Lot, request.Reason);
        return writes.RunAsync(request, tx =>
        {
            StockHoldStore.Hold(tx, request.Name, ByPerson(tx, request.Reason));
            return LotStore.GetLot(tx, request.Name).ToProto();
        }, context.CancellationToken);
    }

    public override Task<Lot> ReleaseLot(ReleaseLotRequest request, ServerCallContext context)
    {
        CheckReason(request.Name, ResourceKind.Lot, request.Reason);
        return writes.RunAsync(request, tx =>
        {
            StockHoldStore.Release(tx, request.Name, ByPerson(tx, request.Reason));
            return LotStore.GetLot(tx, request.Name).ToProto();
        }, context.CancellationToken);
    }

    public override Task<Container> GetContainer(GetContainerRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.Container).ThrowIfAny();
        return Task.FromResult(reads.Read(session => LotStore.GetContents(session, request.Name).ToProto()));
    }

    public override Task<ListContainersResponse> ListContainers(ListContainersRequest request, ServerCallContext context)
    {
        var checks = new FieldChecks().Name("parent", request.Parent, ResourceKind.Studio);
        if (request.Site.Length > 0) checks.Name("site", request.Site, ResourceKind.Site, request.Parent);
        if (request.Lot.Length > 0) checks.Name("lot", request.Lot, ResourceKind.Lot, request.Parent);
        checks.ThrowIfAny();
        var page = Paging.Read(request.PageSize, request.PageToken,
            nameof(ListContainers), request.Parent, request.Site, request.Lot, $"{request.ShowSpent}");
        return Task.FromResult(reads.Read(session =>
        {
            SiteStore.GetStudio(session, request.Parent);
            if (request.Site.Length > 0) SiteStore.GetSite(session, request.Site);
            if (request.Lot.Length > 0) LotStore.GetLot(session, request.Lot);
            var (containers, next) = page.Cut(
                LotStore.ListContainers(session, request.Parent, request.Site, request.Lot, request.ShowSpent, page),
                container => container.Name);
            return new ListContainersResponse
            {
                Containers = { containers.Select(container => LotStore.ContentsOf(session, container).ToProto()) },
                NextPageToken = next,
            };
        }));
    }

    public override Task<Container> OpenContainer(OpenContainerRequest request, ServerCallContext context)
    {
        new FieldChecks()
            .Name("name", request.Name, ResourceKind.Container)
            .OptionalTime("open_time", request.OpenTime)
            .ThrowIfAny();
        return ChangeAsync(request, request.Name, context, (tx, contents) => Lots.OpenContainer.Decide(
            contents.Container,
            EventTime.OrNow(request.OpenTime, tx.Now.ToUnixMs(), "open_time"),
            LotStore.FirstEventMs(tx, request.Name),
            OpenedShelfLifeMs(tx, contents),
            SiteStore.GetSite(tx, contents.Container.Site).Zone));
    }

    public override Task<Container> DecantContainer(DecantContainerRequest request, ServerCallContext context)
    {
        new FieldChecks()
            .Name("name", request.Name, ResourceKind.Container)
            .NewId("container_id", request.ContainerId)
            .Mass("mass_mg", request.MassMg)
            .ThrowIfAny();
        return writes.RunAsync(request, tx =>
        {
            var source = LotStore.GetContents(tx, request.Name);
            var name = NewContainer(tx, source.Container.Studio, request.ContainerId);
            LotStore.Save(tx, FillContainer.Decant(source, name, request.MassMg, tx.Now.ToUnixMs(), OpenedShelfLifeMs(tx, source)));
            return LotStore.GetContents(tx, name).ToProto();
        }, context.CancellationToken);
    }

    public override Task<Container> TopUpContainer(TopUpContainerRequest request, ServerCallContext context)
    {
        new FieldChecks()
            .Name("name", request.Name, ResourceKind.Container)
            .Name("source", request.Source, ResourceKind.Container, ParentOf(request.Name, ResourceKind.Container))
            .Require(request.Source != request.Name, "source", "must be another container than the one topped up.", request.Source)
            .Mass("mass_mg", request.MassMg)
            .ThrowIfAny();
        return writes.RunAsync(request, tx =>
        {
            var target = LotStore.GetContents(tx, request.Name);
            var source = LotStore.GetContents(tx, request.Source);
            var site = SiteStore.GetSite(tx, target.Container.Site);
            LotStore.Save(tx, FillContainer.TopUp(
                target, source, site, request.MassMg, tx.Now.ToUnixMs(), OpenedShelfLifeMs(tx, target)));
            return LotStore.GetContents(tx, request.Name).ToProto();
        }, context.CancellationToken);
    }

    public override Task<Container> WeighBackContainer(WeighBackContainerRequest request, ServerCallContext context)
    {
        new FieldChecks()
            .Name("name", request.Name, ResourceKind.Container)
            .Require(request.HasRemainingMassMg, "remaining_mass_mg", "must be set; 0 says that it is empty.")
            .Mass("remaining_mass_mg", request.RemainingMassMg, minMg: 0)
            .ThrowIfAny();
        return ChangeAsync(request, request.Name, context, (tx, contents) => KeepContainer.WeighBack(
            contents.Container, LotStore.WasDiscarded(tx, request.Name), request.RemainingMassMg, tx.Now.ToUnixMs()));
    }

    public override Task<Container> MoveContainer(MoveContainerRequest request, ServerCallContext context)
    {
        new FieldChecks()
            .Name("name", request.Name, ResourceKind.Container)
            .Name("site", request.Site, ResourceKind.Site, ParentOf(request.Name, ResourceKind.Container))
            .ThrowIfAny();
        return ChangeAsync(request, request.Name, context, (tx, contents) => KeepContainer.Move(
            contents, SiteStore.GetSite(tx, request.Site), tx.Now.ToUnixMs(), OpenedShelfLifeMs(tx, contents)));
    }

    public override Task<Container> DiscardContainer(DiscardContainerRequest request, ServerCallContext context)
    {
        CheckReason(request.Name, ResourceKind.Container, request.Reason);
        return ChangeAsync(request, request.Name, context, (tx, contents) =>
            KeepContainer.Discard(contents.Container, request.Reason, tx.Now.ToUnixMs()));
    }

    public override Task<Container> HoldContainer(HoldContainerRequest request, ServerCallContext context)
    {
        CheckReason(request.Name, ResourceKind.Container, request.Reason);
        return writes.RunAsync(request, tx =>
        {
            StockHoldStore.Hold(tx, request.Name, ByPerson(tx, request.Reason));
            return LotStore.GetContents(tx, request.Name).ToProto();
        }, context.CancellationToken);
    }

    public override Task<Container> ReleaseContainer(ReleaseContainerRequest request, ServerCallContext context)
    {
        CheckReason(request.Name, ResourceKind.Container, request.Reason);
        return writes.RunAsync(request, tx =>
        {
            StockHoldStore.Release(tx, request.Name, ByPerson(tx, request.Reason));
            return LotStore.GetContents(tx, request.Name).ToProto();
        }, context.CancellationToken);
    }

    private Task<Container> ChangeAsync<TRequest>(
        TRequest request, string name, ServerCallContext context, Func<StudioTransaction, ContainerContents, ContainerChange> decide)
        where TRequest : Google.Protobuf.IMessage<TRequest> =>
        writes.RunAsync(request, tx =>
        {
            var contents = LotStore.GetContents(tx, name);
            var change = decide(tx, contents);
            LotStore.Save(tx, [change]);
            return (contents with { Container = change.Container }).ToProto();
        }, context.CancellationToken);

    /// <summary>A call of this service does not say who asks; the audit does.</summary>
    private static HoldCause ByPerson(StudioTransaction tx, string reason) => new("", reason, "", tx.Now.ToUnixMs());

    private static string NewContainer(StudioTransaction tx, string studio, string chosenId)
    {
        var name = ResourceKind.Container.Under(studio, ResourceKind.Container.IdOrNew(chosenId));
        LotStore.RequireNewContainer(tx, name);
        return name;
    }

    private static long? OpenedShelfLifeMs(StudioSession session, ContainerContents contents) =>
        contents.Container.ResinSystem is { } system ? ResinStore.GetResinSystem(session, system).OpenedShelfLifeMs : null;

    private static string? ParentOf(string name, ResourceKind kind) => kind.Matches(name) ? ResourceNames.ParentOf(name) : null;

    private static void CheckReason(string name, ResourceKind kind, string reason) =>
        new FieldChecks().Name("name", name, kind).Text("reason", reason, 500, 3).ThrowIfAny();
}
