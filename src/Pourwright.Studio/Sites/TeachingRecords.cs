using Pourwright.Studio.Storage;
using Pourwright.V1;
using Kind = Pourwright.V1.Station.Types.Kind;

namespace Pourwright.Studio.Sites;

/// <summary>A row of `rooms`.</summary>
public sealed record RoomRecord
{
    public required string Name { get; init; }
    public required string Site { get; init; }
    public required string DisplayName { get; init; }
    public required int Seats { get; init; }
    public required string Etag { get; init; }

    public Room ToProto() => new() { Name = Name, DisplayName = DisplayName, SeatCount = Seats, Etag = Etag };
}

/// <summary>A row of `stations`.</summary>
public sealed record StationRecord
{
    public required string Name { get; init; }
    public required string Site { get; init; }
    public required string DisplayName { get; init; }
    public required Kind Kind { get; init; }

    /// <summary>How many may work there at a time.</summary>
    public required int Places { get; init; }
    public required int MinutesADay { get; init; }
    public required string Etag { get; init; }

    public Station ToProto() => new()
    {
        Name = Name,
        DisplayName = DisplayName,
        Kind = Kind,
        PlaceCount = Places,
        DailyDuration = WholeMinutes.ToDuration(MinutesADay),
        Etag = Etag,
    };
}

/// <summary>A row of `outages`: of a station, of a bench, or of the whole site where it names neither.</summary>
public sealed record OutageRecord
{
    public required string Name { get; init; }
    public required string Site { get; init; }
    public required string? Station { get; init; }
    public required string? Bench { get; init; }
    public required long StartMs { get; init; }

    /// <summary>Not included.</summary>
    public required long EndMs { get; init; }
    public required string Reason { get; init; }

    public bool IsOfWholeSite => Station is null && Bench is null;

    public Outage ToProto() => new()
    {
        Name = Name,
        Station = Station ?? "",
        Bench = Bench ?? "",
        StartTime = Instants.ToTimestamp(StartMs),
        EndTime = Instants.ToTimestamp(EndMs),
        Reason = Reason,
    };
}

/// <summary>A row of `travel`: one a pair of sites, the lesser name first.</summary>
public sealed record TravelRecord
{
    public required string SiteA { get; init; }
    public required string SiteB { get; init; }

    /// <summary>Door to door, either way; null where nobody goes it, and then there is no row.</summary>
    public required int? Minutes { get; init; }

    public TravelTime ToProto() => new()
    {
        SiteA = SiteA,
        SiteB = SiteB,
        Duration = Minutes is { } minutes ? WholeMinutes.ToDuration(minutes) : null,
    };
}
