using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Sites;

/// <summary>gRPC of sites.proto; what teaching needs of a site stands in the other half.</summary>
public sealed partial class SiteService(WriteRequests writes, StudioReads reads) : V1.SiteService.SiteServiceBase
{
    public override Task<Site> CreateSite(CreateSiteRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("parent", request.Parent, ResourceKind.Studio).NewId("site_id", request.SiteId).ThrowIfAny();
        return writes.RunAsync(request, tx =>
        {
            var studio = SiteStore.GetStudio(tx, request.Parent);
            var name = ResourceKind.Site.Under(studio.Name, ResourceKind.Site.IdOrNew(request.SiteId));
            var (site, contacts) = DescribeSite.Decide(name, studio.Name, request.Site ?? new(), tx.NewEtag());
            SiteStore.InsertSite(tx, site, contacts);
            return site.ToProto(contacts);
        }, context.CancellationToken);
    }

    public override Task<Site> GetSite(GetSiteRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.Site).ThrowIfAny();
        return Task.FromResult(reads.Read(session => Load(session, request.Name)));
    }

    public override Task<ListSitesResponse> ListSites(ListSitesRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("parent", request.Parent, ResourceKind.Studio).ThrowIfAny();
        var page = Paging.Read(request.PageSize, request.PageToken, nameof(ListSites), request.Parent);
        return Task.FromResult(reads.Read(session =>
        {
            SiteStore.GetStudio(session, request.Parent);
            var (sites, next) = page.Cut(SiteStore.ListSites(session, request.Parent, page), site => site.Name);
            return new ListSitesResponse
            {
                Sites = { sites.Select(site => site.ToProto(SiteStore.GetContacts(session, site.Name))) },
                NextPageToken = next,
            };
        }));
    }

    public override Task<Site> UpdateSite(UpdateSiteRequest request, ServerCallContext context)
    {
        request.Site ??= new();
        new FieldChecks().Name("site.name", request.Site.Name, ResourceKind.Site).ThrowIfAny();
        return writes.RunAsync(request, tx =>
        {
            var merged = DescribeSite.Merge(Load(tx, request.Site.Name), request.Site, request.UpdateMask);
            var (site, contacts) = DescribeSite.Decide(merged.Name, ResourceNames.StudioOf(merged.Name), merged, tx.NewEtag());
            SiteStore.UpdateSite(tx, site, contacts);
            return site.ToProto(contacts);
        }, context.CancellationToken);
    }

    public override Task<Bench> CreateBench(CreateBenchRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("parent", request.Parent, ResourceKind.Site).NewId("bench_id", request.BenchId).ThrowIfAny();
        return writes.RunAsync(request, tx =>
        {
            var site = SiteStore.GetSite(tx, request.Parent);
            var name = ResourceKind.Bench.Under(site.Name, ResourceKind.Bench.IdOrNew(request.BenchId));
            var bench = DescribeBench.Decide(name, site.Name, request.Bench ?? new(), tx.NewEtag());
            SiteStore.InsertBench(tx, bench);
            return bench.ToProto();
        }, context.CancellationToken);
    }

    public override Task<Bench> UpdateBench(UpdateBenchRequest request, ServerCallContext context)
    {
        request.Bench ??= new();
        new FieldChecks().Name("bench.name", request.Bench.Name, ResourceKind.Bench).ThrowIfAny();
        return writes.RunAsync(request, tx =>
        {
            var current = SiteStore.GetBench(tx, request.Bench.Name);
            var bench = DescribeBench.Decide(
                current.Name, current.Site, DescribeBench.Merge(current.ToProto(), request.Bench, request.UpdateMask), tx.NewEtag());
            SiteStore.UpdateBench(tx, bench);
            return bench.ToProto();
        }, context.CancellationToken);
    }

    public override Task<Bench> GetBench(GetBenchRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.Bench).ThrowIfAny();
        return Task.FromResult(reads.Read(session => SiteStore.GetBench(session, request.Name).ToProto()));
    }

    public override Task<ListBenchesResponse> ListBenches(ListBenchesRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("parent", request.Parent, ResourceKind.Site).ThrowIfAny();
        var page = Paging.Read(request.PageSize, request.PageToken, nameof(ListBenches), request.Parent);
        return Task.FromResult(reads.Read(session =>
        {
            SiteStore.GetSite(session, request.Parent);
            var (benches, next) = page.Cut(SiteStore.ListBenches(session, request.Parent, page), bench => bench.Name);
            return new ListBenchesResponse { Benches = { benches.Select(bench => bench.ToProto()) }, NextPageToken = next };
        }));
    }

    public override Task<Sensor> CreateSensor(CreateSensorRequest request, ServerCallContext context)
    {
        var sensor = request.Sensor ?? new();
        var checks = new FieldChecks()
            .Name("parent", request.Parent, ResourceKind.Site)
            .NewId("sensor_id", request.SensorId)
            .Text("sensor.display_name", sensor.DisplayName, 80)
            .Require(sensor.ReportInterval is null
                || DescribeSite.IsWithin(sensor.ReportInterval, TimeSpan.FromSeconds(1), TimeSpan.FromDays(1)),
                "sensor.report_interval", "must be 1 second to 1 day.", sensor.ReportInterval?.ToString());
        if (sensor.Bench.Length > 0) checks.Name("sensor.bench", sensor.Bench, ResourceKind.Bench, request.Parent);
        checks.ThrowIfAny();
        return writes.RunAsync(request, tx =>
        {
            var site = SiteStore.GetSite(tx, request.Parent);
            var record = new SensorRecord
            {
                Name = ResourceKind.Sensor.Under(site.Name, ResourceKind.Sensor.IdOrNew(request.SensorId)),
                Site = site.Name,
                DisplayName = sensor.DisplayName,
                Bench = sensor.Bench.Length > 0 ? SiteStore.GetBench(tx, sensor.Bench).Name : null,
                ReportIntervalMs = (long)(sensor.ReportInterval?.ToTimeSpan() ?? DescribeSite.ReportIntervalDefault).TotalMilliseconds,
            };
            SiteStore.InsertSensor(tx, record);
            return record.ToProto();
        }, context.CancellationToken);
    }

    public override Task<Sensor> GetSensor(GetSensorRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.Sensor).ThrowIfAny();
        return Task.FromResult(reads.Read(session => SiteStore.GetSensor(session, request.Name).ToProto()));
    }

    public override Task<ListSensorsResponse> ListSensors(ListSensorsRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("parent", request.Parent, ResourceKind.Site).ThrowIfAny();
        var page = Paging.Read(request.PageSize, request.PageToken, nameof(ListSensors), request.Parent);
        return Task.FromResult(reads.Read(session =>
        {
            SiteStore.GetSite(session, request.Parent);
            var (sensors, next) = page.Cut(SiteStore.ListSensors(session, request.Parent, page), sensor => sensor.Name);
            return new ListSensorsResponse { Sensors = { sensors.Select(sensor => sensor.ToProto()) }, NextPageToken = next };
        }));
    }

    private static Site Load(StudioSession session, string name) =>
        SiteStore.GetSite(session, name).ToProto(SiteStore.GetContacts(session, name));
}
