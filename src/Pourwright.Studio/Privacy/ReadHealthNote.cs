using Pourwright.Studio.Access;
using Pourwright.Studio.Classes;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Privacy;

/// <summary>Who reads what a student said of their health, and when.</summary>
internal static class ReadHealthNote
{
    /// <summary>The owner always; else whoever teaches, on the local day of a session of the student at a site of theirs.</summary>
    /// <param name="sessions">Those of the classes in which the student has a seat.</param>
    /// <exception cref="Refusal">NOT_ALLOWED.</exception>
    public static void Check(Caller caller, IEnumerable<SessionRecord> sessions, DateTimeOffset now)
    {
        if (caller.Role == Role.Owner && !caller.IsOfSomeSites) return;
        if (sessions.Any(session => session.IsLive && caller.Sees([session.Site]) && session.LocalDate == DayAt(session, now))) return;
        throw Refusal.NotAllowed(
            "What a student said of their health is read by who teaches them, on the day of the session, and by the owner. Ask the student, or the owner.",
            ("call", "GetHealthNote"), ("role", $"{caller.Role}".ToLowerInvariant()));
    }

    private static string DayAt(SessionRecord session, DateTimeOffset now) =>
        Days.ToColumn(DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(now, TimeZoneInfo.FindSystemTimeZoneById(session.TimeZone)).DateTime));
}
