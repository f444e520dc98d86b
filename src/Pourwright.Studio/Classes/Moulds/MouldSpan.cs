using Pourwright.Studio.Refusals;
using Pourwright.V1;

namespace Pourwright.Studio.Classes.Moulds;

/// <summary>When a class holds its moulds.</summary>
public static class MouldSpan
{
    /// <summary>From the begin of the pour to the end of the machine day, Unix ms; null while there is no pour.</summary>
    public static (long StartMs, long EndMs)? Of(IReadOnlyList<SessionRecord> sessions)
    {
        if (Find(sessions, Session.Types.Kind.Pour) is not { } pour) return null;
        return (pour.StartMs, (Find(sessions, Session.Types.Kind.Machine) ?? pour).EndMs);
    }

    /// <summary>The times asked for, or else those of the sessions.</summary>
    /// <exception cref="Refusal">FIELD_INVALID where there are neither, or they are not in order.</exception>
    public static (long StartMs, long EndMs) Asked(long? startMs, long? endMs, IReadOnlyList<SessionRecord> sessions)
    {
        if (startMs is null && endMs is null)
            return Of(sessions) ?? throw Refusal.Invalid("start_time", null, "must be set with end_time: the class has no sessions yet.");
        if (startMs is { } start && endMs > start) return (start, endMs.Value);
        throw Refusal.Invalid("end_time", null, "must be set with start_time, and be later.");
    }

    private static SessionRecord? Find(IReadOnlyList<SessionRecord> sessions, Session.Types.Kind kind) =>
        sessions.FirstOrDefault(session => session.IsLive && session.Kind == kind);
}
