using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Climate;

/// <summary>gRPC of climate.proto.</summary>
public sealed class ClimateService(WriteRequests writes, StudioReads reads, ClimateOptions options, TimeProvider clock)
    : V1.ClimateService.ClimateServiceBase
{
    public override Task<RecordReadingsResponse> RecordReadings(RecordReadingsRequest request, ServerCallContext context)
    {
        Climate.RecordReadings.CheckShape(request.Parent, request.Readings);
        return writes.RunAsync(request, tx =>
        {
            var added = Record(tx, request.Parent, request.Readings);
            return new RecordReadingsResponse { AddedCount = added, RepeatedCount = request.Readings.Count - added };
        }, context.CancellationToken);
    }

    public override async Task<StreamReadingsResponse> StreamReadings(
        IAsyncStreamReader<StreamReadingsRequest> requestStream, ServerCallContext context)
    {
        var total = new StreamReadingsResponse();
        while (await requestStream.MoveNext(context.CancellationToken))
        {
            var batch = await RecordBatchAsync(requestStream.Current, total.BatchCount, context.CancellationToken);
            total.BatchCount++;
            total.AddedCount += batch.AddedCount;
            total.RepeatedCount += batch.RepeatedCount;
        }
        return total;
    }

    public override Task<ListReadingsResponse> ListReadings(ListReadingsRequest request, ServerCallContext context)
    {
        var checks = new FieldChecks().Name("parent", request.Parent, ResourceKind.Sensor);
        checks.OptionalTime("start_time", request.StartTime);
        checks.OptionalTime("end_time", request.EndTime);
        checks.ThrowIfAny();
        var (fromMs, toMs) = (request.StartTime.ToUnixMsOrNull() ?? long.MinValue, request.EndTime.ToUnixMsOrNull() ?? long.MaxValue);
        var page = Paging.Read(request.PageSize, request.PageToken, nameof(ListReadings), request.Parent, $"{fromMs}", $"{toMs}");
        return Task.FromResult(reads.Read(session =>
        {
            SiteStore.GetSensor(session, request.Parent);
            var (readings, next) = page.Cut(
                ClimateStore.ListReadings(session, request.Parent, fromMs, toMs, page), reading => reading.ReadingMs);
            return new ListReadingsResponse { Readings = { readings.Select(reading => reading.ToProto()) }, NextPageToken = next };
        }));
    }

    public override Task<BenchClimate> GetBenchClimate(GetBenchClimateRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.Bench).ThrowIfAny();
        return Task.FromResult(reads.Read(session =>
        {
            var sensors = SiteStore.GetSensorsAt(session, SiteStore.GetBench(session, request.Name));
            return BenchClimateNow.Describe(
                request.Name, ClimateStore.LastReading(session, sensors), ClimateStore.IntervalMs(sensors), clock.GetUtcNow());
        }));
    }

    public override Task<BenchOutlook> SetBenchOutlook(SetBenchOutlookRequest request, ServerCallContext context)
    {
        SetOutlook.CheckShape(request);
        return writes.RunAsync(request, tx =>
        {
            SiteStore.GetBench(tx, request.Name);
            var said = SetOutlook.Row(request, tx.Now);
            var before = OutlookStore.Find(tx, said.Bench);
            if (SetOutlook.IsSame(before, said)) return before?.ToProto() ?? Nothing(said.Bench);
            OutlookStore.Replace(tx, said);
            // A person waits for what this changes: no delay, as with a chatty logger.
            OutlookStore.TouchBench(tx, said.Bench, tx.Now.ToUnixMs());
            return said.ToProto();
        }, context.CancellationToken);
    }

    public override Task<BenchOutlook> GetBenchOutlook(GetBenchOutlookRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.Bench).ThrowIfAny();
        return Task.FromResult(reads.Read(session =>
        {
            SiteStore.GetBench(session, request.Name);
            return OutlookStore.Find(session, request.Name)?.ToProto() ?? Nothing(request.Name);
        }));
    }

    private static BenchOutlook Nothing(string bench) => new() { Bench = bench, Kind = BenchOutlook.Types.Kind.None };

    private async Task<StreamReadingsResponse> RecordBatchAsync(StreamReadingsRequest request, int index, CancellationToken ct)
    {
        try
        {
            Climate.RecordReadings.CheckShape(request.Parent, request.Readings);
            return await writes.RunAsync(request, tx =>
            {
                var added = Record(tx, request.Parent, request.Readings);
                return new StreamReadingsResponse { AddedCount = added, RepeatedCount = request.Readings.Count - added };
            }, ct);
        }
        catch (Refusal refusal)
        {
            throw refusal.OfMessage(index);
        }
    }

    /// <summary>Adds a batch and returns how many of its readings are new.</summary>
    private int Record(StudioTransaction tx, string parent, IReadOnlyList<Reading> readings)
    {
        SiteStore.GetSite(tx, parent);
        var sensors = readings.Select(reading => reading.Sensor).Distinct().ToDictionary(name => name, name => SiteStore.GetSensor(tx, name));
        var rows = Climate.RecordReadings.Rows(readings, tx.Now);
        var added = rows.Where((row, index) => Add(tx, row, index)).ToList();
        foreach (var ofSensor in added.GroupBy(row => row.Sensor))
        {
            ClimateStore.RaiseLastReading(tx, ofSensor.Key, ofSensor.Max(row => row.ReadingMs));
            ClimateStore.TouchBenches(tx, sensors[ofSensor.Key], (tx.Now + options.ForecastDelay).ToUnixMs());
        }
        return added.Count;
    }

    private static bool Add(StudioTransaction tx, ReadingRecord row, int index)
    {
        if (ClimateStore.TryInsert(tx, row)) return true;
        Climate.RecordReadings.MustAgree(row, ClimateStore.GetReading(tx, row.Sensor, row.ReadingMs), index);
        return false;
    }
}
