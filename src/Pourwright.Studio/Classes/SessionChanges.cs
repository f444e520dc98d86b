using Pourwright.V1;
using State = Pourwright.V1.Session.Types.State;

namespace Pourwright.Studio.Classes;

/// <summary>One session that is not as it was; <paramref name="Before"/> is null where there was none.</summary>
public sealed record SessionChange(SessionRecord? Before, SessionRecord After)
{
    /// <summary>People must know: time, place, instructor or state. Another release of the time zone data alone is no news.</summary>
    public bool IsNews => Before?.Sequence != After.Sequence;
}

/// <summary>What becomes of the sessions of a class when they are set anew.</summary>
/// <remarks>A row is never taken away: its sequence is what calendars tell an older copy by, and must not be given twice.</remarks>
public static class SessionChanges
{
    /// <summary>The rows that change. <paramref name="wanted"/> are all sessions the class is to have; those before that are not among them are cancelled.</summary>
    public static IReadOnlyList<SessionChange> Decide(
        IReadOnlyList<SessionRecord> before, IReadOnlyList<SessionRecord> wanted, string reason)
    {
        var known = before.ToDictionary(session => session.Name);
        var set = wanted.Select(session => Set(known.GetValueOrDefault(session.Name), session, reason)).OfType<SessionChange>();
        var gone = before.Where(session => session.IsLive && wanted.All(kept => kept.Name != session.Name))
            .Select(session => new SessionChange(session, Next(session, session, State.Cancelled, reason)));
        return [.. set, .. gone];
    }

    private static SessionChange? Set(SessionRecord? before, SessionRecord wanted, string reason)
    {
        if (before is null) return new(null, wanted with { State = State.Confirmed, Sequence = 0, ChangeReason = reason });
        if (!before.IsLive) return new(before, Next(before, wanted, State.Confirmed, reason));
        if (!IsSame(before, wanted)) return new(before, Next(before, wanted, State.Moved, reason));
        return before.TzdbVersion == wanted.TzdbVersion ? null : new(before, before with { TzdbVersion = wanted.TzdbVersion });
    }

    private static SessionRecord Next(SessionRecord before, SessionRecord after, State state, string reason) =>
        after with { State = state, Sequence = before.Sequence + 1, ChangeReason = reason };

    private static bool IsSame(SessionRecord a, SessionRecord b) =>
        (a.StartMs, a.EndMs, a.LocalDate, a.LocalStartMinute, a.TimeZone, a.Site, a.Bench, a.Instructor)
        == (b.StartMs, b.EndMs, b.LocalDate, b.LocalStartMinute, b.TimeZone, b.Site, b.Bench, b.Instructor);
}
