using Google.Protobuf.WellKnownTypes;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.V1;

namespace Pourwright.Studio.Sites;

/// <summary>What a room may say of itself.</summary>
public static class DescribeRoom
{
    private static readonly string[] Changeable = ["display_name", "seat_count"];

    /// <summary>The row of a room as described.</summary>
    /// <exception cref="Refusal">FIELD_INVALID, all fields at once.</exception>
    public static RoomRecord Decide(string name, string site, Room room, string etag)
    {
        new FieldChecks()
            .Text("room.display_name", room.DisplayName, 80)
            .Within("room.seat_count", room.SeatCount, 1, 200, "seats")
            .ThrowIfAny();
        return new() { Name = name, Site = site, DisplayName = room.DisplayName, Seats = room.SeatCount, Etag = etag };
    }

    /// <summary>The room after an update.</summary>
    /// <exception cref="Refusal">FIELD_INVALID for a path that cannot change, ETAG_STALE where the room was changed meanwhile.</exception>
    public static Room Merge(Room current, Room change, FieldMask? mask) => UpdateMask.Merge(current, change, mask, Changeable);
}
