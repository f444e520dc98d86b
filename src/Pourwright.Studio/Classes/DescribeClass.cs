using Google.Protobuf.WellKnownTypes;
using Pourwright.Studio.Classes.Enrolments;
using Pourwright.Studio.Names;
using Pourwright.Studio.Offerings;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Sites;
using Pourwright.V1;

namespace Pourwright.Studio.Classes;

/// <summary>What may be asked for, and what it means where nothing is said.</summary>
public static class DescribeClass
{
    private const int SeatsMax = 100, PiecesMax = 1000, SitesMax = 50;

    /// <summary>Two years: nobody asks for a class further ahead. Common practice, no source.</summary>
    private const int WindowDaysMax = 731;

    private static readonly IReadOnlyList<string> Changeable =
        ["display_name", "offering", "seat_count", "piece_count", "sites", "first_date", "last_date", "weekdays", "favourite_date"];

    /// <exception cref="Refusal">FIELD_INVALID, all fields at once.</exception>
    public static void CheckShape(CastingClass castingClass, string studio)
    {
        var checks = new FieldChecks()
            .Text("casting_class.display_name", castingClass.DisplayName, 80)
            .Name("casting_class.offering", castingClass.Offering, ResourceKind.Offering, studio)
            .Require(!castingClass.HasSeatCount || castingClass.SeatCount is >= 1 and <= SeatsMax,
                "casting_class.seat_count", $"must be 1 to {SeatsMax}.", $"{castingClass.SeatCount}")
            .Require(!castingClass.HasPieceCount || castingClass.PieceCount is >= 1 and <= PiecesMax,
                "casting_class.piece_count", $"must be 1 to {PiecesMax}.", $"{castingClass.PieceCount}")
            .Require(castingClass.Sites.Count is >= 1 and <= SitesMax && castingClass.Sites.Distinct().Count() == castingClass.Sites.Count,
                "casting_class.sites", $"must be 1 to {SitesMax}, each once.", string.Join(", ", castingClass.Sites))
            .Day("casting_class.first_date", castingClass.FirstDate, required: true)
            .Day("casting_class.last_date", castingClass.LastDate, required: true)
            .Day("casting_class.favourite_date", castingClass.FavouriteDate)
            .Days("casting_class.weekdays", castingClass.Weekdays);
        for (var i = 0; i < castingClass.Sites.Count; i++)
            checks.Name($"casting_class.sites[{i}]", castingClass.Sites[i], ResourceKind.Site, studio);
        CheckWindow(checks, castingClass);
        checks.ThrowIfAny();
    }

    /// <summary>The row of a class whose shape was checked.</summary>
    public static ClassRecord Decide(string name, CastingClass castingClass, OfferingRecord offering, string etag)
    {
        var seats = castingClass.HasSeatCount ? castingClass.SeatCount : offering.Seats;
        return new()
        {
            Name = name,
            Studio = ResourceNames.StudioOf(name),
            DisplayName = castingClass.DisplayName,
            Offering = offering.Name,
            Seats = seats,
            Pieces = castingClass.HasPieceCount ? castingClass.PieceCount : seats * offering.PiecesPerStudent,
            FirstDate = Days.ToColumn(Days.Of(castingClass.FirstDate)),
            LastDate = Days.ToColumn(Days.Of(castingClass.LastDate)),
            Weekdays = Weekdays.BitsOrAll(castingClass.Weekdays),
            FavouriteDate = Days.Find(castingClass.FavouriteDate) is { } day ? Days.ToColumn(day) : null,
            State = CastingClass.Types.State.Requested,
            Etag = etag,
            Sites = [.. castingClass.Sites],
        };
    }

    /// <summary>The class as it is to be: fields of the mask from <paramref name="change"/>, the rest as it is.</summary>
    /// <remarks>Where seats change and nobody says how many pieces, pieces follow, unless they were said before.</remarks>
    /// <exception cref="Refusal">CLASS_STATE, ETAG_STALE, FIELD_INVALID.</exception>
    public static CastingClass Merge(ClassRecord current, CastingClass change, FieldMask? mask, OfferingRecord offering)
    {
        if (current.State != CastingClass.Types.State.Requested) throw Closed(current, "changed by planning it again, or cancelled");
        var merged = UpdateMask.Merge(current.ToProto(), change, mask, Changeable);
        if (!change.HasPieceCount && current.Pieces == current.Seats * offering.PiecesPerStudent) merged.ClearPieceCount();
        return merged;
    }

    /// <exception cref="Refusal">SEATS_TAKEN.</exception>
    public static void RequireSeats(ClassRecord changed, SeatCounts seats)
    {
        if (changed.Seats < seats.Held)
            throw Refusal.Precondition(Reasons.SeatsTaken,
                $"Class '{changed.Name}' would have {changed.Seats} seats, and {seats.Held} are taken or kept for an offer. Leave {seats.Held}, or ask students to withdraw first.",
                ("casting_class", changed.Name), ("seat_count", $"{changed.Seats}"), ("held_count", $"{seats.Held}"));
    }

    /// <exception cref="Refusal">CLASS_STATE where it is over already.</exception>
    public static ClassRecord Cancel(ClassRecord castingClass, string reason, string etag) => castingClass.IsOpen
        ? castingClass with { State = CastingClass.Types.State.Cancelled, CancelReason = reason, Etag = etag }
        : throw Closed(castingClass, "left as it is");

    internal static Refusal Closed(ClassRecord castingClass, string what) => Refusal.Precondition(Reasons.ClassState,
        $"Class '{castingClass.Name}' is {castingClass.State}: it is {what}.", ("casting_class", castingClass.Name), ("state", $"{castingClass.State}"));

    private static void CheckWindow(FieldChecks checks, CastingClass castingClass)
    {
        if (Days.Find(castingClass.FirstDate) is not { } first || Days.Find(castingClass.LastDate) is not { } last) return;
        checks.Require(last >= first && last.DayNumber - first.DayNumber <= WindowDaysMax, "casting_class.last_date",
            $"must not be before {Days.ToColumn(first)}, nor more than {WindowDaysMax} days after it.", Days.ToColumn(last));
        if (Days.Find(castingClass.FavouriteDate) is not { } favourite) return;
        var weekdays = Weekdays.Set(Weekdays.BitsOrAll([.. castingClass.Weekdays.Where(day => (int)day is >= 1 and <= 7)]));
        checks.Require(favourite >= first && favourite <= last && weekdays.Contains(favourite.DayOfWeek), "casting_class.favourite_date",
            "must lie from first to last date, on one of the weekdays.", Days.ToColumn(favourite));
    }
}
