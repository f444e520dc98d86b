using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Classes;

/// <summary>Closes a session: people are out, and a person says that the rags are safe.</summary>
public static class CloseSession
{
    /// <exception cref="Refusal">FIELD_INVALID.</exception>
    public static void Check(CloseSessionRequest request) => new FieldChecks()
        .Name("name", request.Name, ResourceKind.Session)
        .Text("closer", request.Closer, 80)
        .ThrowIfAny();

    /// <summary>The session as closed. Who closed it first stays.</summary>
    /// <exception cref="Refusal">RAGS_NOT_SAFE, CLASS_STATE where it is cancelled, TIME_OUT_OF_ORDER where it has not begun.</exception>
    public static SessionRecord Decide(SessionRecord session, CloseSessionRequest request, long nowMs)
    {
        if (session.CloseMs is not null) return session;
        if (!session.IsLive)
            throw Refusal.Precondition(Reasons.ClassState, $"Session {session.Name} is cancelled; there is nothing to close.", ("session", session.Name));
        if (nowMs < session.StartMs)
            throw Refusal.Precondition(Reasons.TimeOutOfOrder,
                $"Session {session.Name} begins {Instants.FromUnixMs(session.StartMs):u} only. Close it after it was held.",
                ("session", session.Name), ("start_time", $"{Instants.FromUnixMs(session.StartMs):u}"));
        if (!request.RagsSafe)
            throw Refusal.Precondition(Reasons.RagsNotSafe,
                "Rags with drying oil can set themselves on fire within hours. Lay them flat to dry outdoors, or put them into a closed metal can, look for forgotten ones, then close with rags_safe. Local code and licensed practice decide.",
                ("session", session.Name));
        return session with { Closer = request.Closer, CloseMs = nowMs };
    }
}
