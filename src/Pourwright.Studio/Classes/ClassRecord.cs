using Pourwright.Studio.Classes.Enrolments;
using Pourwright.V1;

namespace Pourwright.Studio.Classes;

/// <summary>A row of `classes`, with its sites.</summary>
public sealed record ClassRecord
{
    public required string Name { get; init; }
    public required string Studio { get; init; }
    public required string DisplayName { get; init; }
    public required string Offering { get; init; }

    /// <summary>Students.</summary>
    public required int Seats { get; init; }

    /// <summary>What cures.</summary>
    public required int Pieces { get; init; }

    /// <summary>Of the pour, yyyy-MM-dd.</summary>
    public required string FirstDate { get; init; }

    /// <inheritdoc cref="FirstDate"/>
    public required string LastDate { get; init; }

    /// <summary>Bits, see <see cref="Pourwright.Studio.Sites.Weekdays"/>.</summary>
    public required int Weekdays { get; init; }
    public string? FavouriteDate { get; init; }
    public required CastingClass.Types.State State { get; init; }
    public string CancelReason { get; init; } = "";
    public required string Etag { get; init; }

    /// <summary>The one liked best first; of `class_sites`.</summary>
    public IReadOnlyList<string> Sites { get; init; } = [];

    public bool IsOpen => State is CastingClass.Types.State.Requested or CastingClass.Types.State.Confirmed;

    /// <summary>The class as asked for: what a person may change.</summary>
    public CastingClass ToProto() => new()
    {
        Name = Name,
        DisplayName = DisplayName,
        Offering = Offering,
        SeatCount = Seats,
        PieceCount = Pieces,
        Sites = { Sites },
        FirstDate = Days.ToProto(FirstDate),
        LastDate = Days.ToProto(LastDate),
        Weekdays = { Pourwright.Studio.Sites.Weekdays.List(Weekdays) },
        FavouriteDate = Days.ToProto(FavouriteDate),
        State = State,
        CancelReason = CancelReason,
        Etag = Etag,
    };

    /// <summary>The class as it stands.</summary>
    public CastingClass ToProto(IEnumerable<SessionRecord> sessions, SeatCounts seats, IEnumerable<Caution> cautions)
    {
        var proto = ToProto();
        proto.Sessions.Add(sessions.Select(session => session.ToProto()));
        (proto.EnrolledCount, proto.OfferedCount, proto.WaitingCount) = (seats.Enrolled, seats.Offered, seats.Waiting);
        proto.Cautions.Add(cautions);
        return proto;
    }
}
