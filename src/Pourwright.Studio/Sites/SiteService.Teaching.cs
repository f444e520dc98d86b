using Google.Protobuf;
using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Sites;

/// <summary>Rooms, stations, outages and travel.</summary>
public sealed partial class SiteService
{
    public override Task<Room> CreateRoom(CreateRoomRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("parent", request.Parent, ResourceKind.Site).NewId("room_id", request.RoomId).ThrowIfAny();
        return writes.RunAsync(request, tx =>
        {
            var site = SiteStore.GetSite(tx, request.Parent);
            var name = ResourceKind.Room.Under(site.Name, ResourceKind.Room.IdOrNew(request.RoomId));
            var room = DescribeRoom.Decide(name, site.Name, request.Room ?? new(), tx.NewEtag());
            SiteStore.InsertRoom(tx, room);
            return room.ToProto();
        }, context.CancellationToken);
    }

    public override Task<Room> GetRoom(GetRoomRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.Room).ThrowIfAny();
        return Task.FromResult(reads.Read(session => SiteStore.GetRoom(session, request.Name).ToProto()));
    }

    public override Task<ListRoomsResponse> ListRooms(ListRoomsRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("parent", request.Parent, ResourceKind.Site).ThrowIfAny();
        var page = Paging.Read(request.PageSize, request.PageToken, nameof(ListRooms), request.Parent);
        return Task.FromResult(reads.Read(session =>
        {
            SiteStore.GetSite(session, request.Parent);
            var (rooms, next) = page.Cut(SiteStore.ListRooms(session, request.Parent, page), room => room.Name);
            return new ListRoomsResponse { Rooms = { rooms.Select(room => room.ToProto()) }, NextPageToken = next };
        }));
    }

    public override Task<Room> UpdateRoom(UpdateRoomRequest request, ServerCallContext context)
    {
        request.Room ??= new();
        new FieldChecks().Name("room.name", request.Room.Name, ResourceKind.Room).ThrowIfAny();
        return writes.RunAsync(request, tx =>
        {
            var current = SiteStore.GetRoom(tx, request.Room.Name);
            var merged = DescribeRoom.Merge(current.ToProto(), request.Room, request.UpdateMask);
            var room = DescribeRoom.Decide(current.Name, current.Site, merged, tx.NewEtag());
            SiteStore.UpdateRoom(tx, room);
            return room.ToProto();
        }, context.CancellationToken);
    }

    public override Task<Empty> DeleteRoom(DeleteRoomRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.Room).ThrowIfAny();
        return DeleteAsync(request, tx => SiteStore.DeleteRoom(tx, request.Name), context);
    }

    public override Task<Station> CreateStation(CreateStationRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("parent", request.Parent, ResourceKind.Site).NewId("station_id", request.StationId).ThrowIfAny();
        return writes.RunAsync(request, tx =>
        {
            var site = SiteStore.GetSite(tx, request.Parent);
            var name = ResourceKind.Station.Under(site.Name, ResourceKind.Station.IdOrNew(request.StationId));
            var station = DescribeStation.Decide(name, site.Name, request.Station ?? new(), tx.NewEtag());
            SiteStore.InsertStation(tx, station);
            return station.ToProto();
        }, context.CancellationToken);
    }

    public override Task<Station> GetStation(GetStationRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.Station).ThrowIfAny();
        return Task.FromResult(reads.Read(session => SiteStore.GetStation(session, request.Name).ToProto()));
    }

    public override Task<ListStationsResponse> ListStations(ListStationsRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("parent", request.Parent, ResourceKind.Site).ThrowIfAny();
        var page = Paging.Read(request.PageSize, request.PageToken, nameof(ListStations), request.Parent);
        return Task.FromResult(reads.Read(session =>
        {
            SiteStore.GetSite(session, request.Parent);
            var (stations, next) = page.Cut(SiteStore.ListStations(session, request.Parent, page), station => station.Name);
            return new ListStationsResponse { Stations = { stations.Select(station => station.ToProto()) }, NextPageToken = next };
        }));
    }

    public override Task<Station> UpdateStation(UpdateStationRequest request, ServerCallContext context)
    {
        request.Station ??= new();
        new FieldChecks().Name("station.name", request.Station.Name, ResourceKind.Station).ThrowIfAny();
        return writes.RunAsync(request, tx =>
        {
            var current = SiteStore.GetStation(tx, request.Station.Name);
            var merged = DescribeStation.Merge(current.ToProto(), request.Station, request.UpdateMask);
            var station = DescribeStation.Decide(current.Name, current.Site, merged, tx.NewEtag());
            SiteStore.UpdateStation(tx, station);
            return station.ToProto();
        }, context.CancellationToken);
    }

    public override Task<Empty> DeleteStation(DeleteStationRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.Station).ThrowIfAny();
        return DeleteAsync(request, tx => SiteStore.DeleteStation(tx, request.Name), context);
    }

    public override Task<Outage> CreateOutage(CreateOutageRequest request, ServerCallContext context)
    {
        RecordOutage.Check(request);
        return writes.RunAsync(request, tx =>
        {
            var site = SiteStore.GetSite(tx, request.Parent);
            if (request.Outage.Station.Length > 0) SiteStore.GetStation(tx, request.Outage.Station);
            if (request.Outage.Bench.Length > 0) SiteStore.GetBench(tx, request.Outage.Bench);
            var name = ResourceKind.Outage.Under(site.Name, ResourceKind.Outage.IdOrNew(request.OutageId));
            var outage = RecordOutage.Decide(name, site.Name, request.Outage);
            SiteStore.InsertOutage(tx, outage);
            return outage.ToProto();
        }, context.CancellationToken);
    }

    public override Task<Outage> GetOutage(GetOutageRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.Outage).ThrowIfAny();
        return Task.FromResult(reads.Read(session => SiteStore.GetOutage(session, request.Name).ToProto()));
    }

    public override Task<ListOutagesResponse> ListOutages(ListOutagesRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("parent", request.Parent, ResourceKind.Site).ThrowIfAny();
        var page = Paging.Read(request.PageSize, request.PageToken, nameof(ListOutages), request.Parent);
        return Task.FromResult(reads.Read(session =>
        {
            SiteStore.GetSite(session, request.Parent);
            var (outages, next) = page.Cut(SiteStore.ListOutages(session, request.Parent, page), outage => outage.Name);
            return new ListOutagesResponse { Outages = { outages.Select(outage => outage.ToProto()) }, NextPageToken = next };
        }));
    }

    public override Task<Empty> DeleteOutage(DeleteOutageRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.Outage).ThrowIfAny();
        return DeleteAsync(request, tx => SiteStore.DeleteOutage(tx, request.Name), context);
    }

    public override Task<TravelTime> SetTravelTime(SetTravelTimeRequest request, ServerCallContext context)
    {
        SetTravel.Check(request);
        return writes.RunAsync(request, tx =>
        {
            SiteStore.GetSite(tx, request.SiteA);
            SiteStore.GetSite(tx, request.SiteB);
            var way = SetTravel.Decide(request);
            SiteStore.ReplaceTravel(tx, way);
            return way.ToProto();
        }, context.CancellationToken);
    }

    public override Task<ListTravelTimesResponse> ListTravelTimes(ListTravelTimesRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("parent", request.Parent, ResourceKind.Studio).ThrowIfAny();
        var page = Paging.Read(request.PageSize, request.PageToken, nameof(ListTravelTimes), request.Parent);
        return Task.FromResult(reads.Read(session =>
        {
            SiteStore.GetStudio(session, request.Parent);
            var (ways, next) = page.Cut(SiteStore.ListTravel(session, request.Parent, page), SiteStore.KeyOf);
            return new ListTravelTimesResponse { TravelTimes = { ways.Select(way => way.ToProto()) }, NextPageToken = next };
        }));
    }

    private Task<Empty> DeleteAsync<TRequest>(TRequest request, Action<StudioTransaction> delete, ServerCallContext context)
        where TRequest : IMessage<TRequest> => writes.RunAsync(request, tx =>
        {
            delete(tx);
            return new Empty();
        }, context.CancellationToken);
}
