using Google.Protobuf.WellKnownTypes;
using Pourwright.Pages.Words;
using Pourwright.V1;
using Date = Google.Type.Date;
using TimeOfDay = Google.Type.TimeOfDay;

namespace Pourwright.Pages.Classes;

/// <summary>One session of a class on another day, before anybody is told.</summary>
/// <param name="Kind">Which session.</param>
/// <param name="Date">Its day at the site.</param>
/// <param name="Time">When it begins by the clock of the site.</param>
public sealed record Move(Session.Types.Kind Kind, DateOnly Date, TimeOnly Time);

/// <summary>What a move would do.</summary>
/// <param name="Move">It.</param>
/// <param name="Refusal">Why it cannot be done; null where it can.</param>
/// <param name="New">Cautions that the class does not have as it stands.</param>
/// <param name="Late">Pieces that would not be safe for saw and planer by the machine day, with the time they are.</param>
/// <param name="ToTell">Students who have a seat and would be told.</param>
public sealed record TriedMove(Move Move, Said? Refusal, IReadOnlyList<Caution> New, IReadOnlyList<(Piece Piece, DateTimeOffset? Safe)> Late, int ToTell)
{
    public bool BreaksNothing => Refusal is null && New.Count == 0 && Late.Count == 0;
}

/// <summary>Sessions as a person sets them, from those that a class has.</summary>
public static class Moves
{
    /// <summary>All sessions that are held, one of them moved. Their lengths, places and instructors stay.</summary>
    public static IEnumerable<SessionTime> With(CastingClass castingClass, Move move) =>
        Held(castingClass).Select(session => session.Kind == move.Kind ? At(session, move.Date, move.Time) : AsItIs(session));

    /// <summary>The sessions of a class that are held.</summary>
    public static IEnumerable<Session> Held(CastingClass castingClass) => castingClass.Sessions.Where(session => session.State != Session.Types.State.Cancelled);

    /// <summary>The clock of a class: that of its first session.</summary>
    public static TimeZoneInfo ZoneOf(CastingClass castingClass) =>
        Held(castingClass).FirstOrDefault() is { } session ? TimeZoneInfo.FindSystemTimeZoneById(session.TimeZone) : TimeZoneInfo.Utc;

    /// <summary>When and where a session is now, as a move to itself.</summary>
    public static Move Of(Session session) => new(session.Kind, new(session.Date.Year, session.Date.Month, session.Date.Day),
        new(session.StartTimeOfDay.Hours, session.StartTimeOfDay.Minutes));

    /// <summary>Pieces that are not safe for the saw by then.</summary>
    public static IReadOnlyList<(Piece Piece, DateTimeOffset? Safe)> LateFor(
        DateTimeOffset machineDay, IEnumerable<(Piece Piece, PieceReadiness Readiness)> pieces) =>
        [.. pieces.Where(piece => piece.Readiness.Forecast.Length > 0)
            .Select(piece => (piece.Piece, Rung: piece.Readiness.Rungs.Single(rung => rung.Gate == Gate.Handle)))
            .Where(piece => piece.Rung.State != PieceReadiness.Types.Rung.Types.State.Ready)
            .Select(piece => (piece.Piece, Safe: piece.Rung.Forecast?.SafeTime?.ToDateTimeOffset()))
            .Where(piece => piece.Safe is not { } safe || safe > machineDay)];

    private static SessionTime AsItIs(Session session)
    {
        var now = Of(session);
        return At(session, now.Date, now.Time);
    }

    private static SessionTime At(Session session, DateOnly date, TimeOnly time) => new()
    {
        Kind = session.Kind,
        Site = session.Site,
        Bench = session.Bench,
        Date = new Date { Year = date.Year, Month = date.Month, Day = date.Day },
        StartTimeOfDay = new TimeOfDay { Hours = time.Hour, Minutes = time.Minute },
        SessionDuration = Duration.FromTimeSpan(session.EndTime.ToDateTimeOffset() - session.StartTime.ToDateTimeOffset()),
        Instructor = session.Instructor,
    };
}
