using Pourwright.Studio.Classes.Prep;
using Pourwright.Studio.Names;
using Pourwright.Studio.Reminders;
using Kind = Pourwright.V1.Session.Types.Kind;
using TaskKind = Pourwright.V1.PrepTask.Types.Kind;

namespace Pourwright.Studio.Classes;

/// <summary>What is said about classes: what, when, where, why, what to do. No student's name stands in a message.</summary>
public static class ClassTexts
{
    /// <summary>To a student: all days that changed, and what was before.</summary>
    public static string ToStudent(ClassRecord castingClass, SessionsChanged news, Func<string, string> placeOf)
    {
        if (news.IsGivenUp)
            return $"{castingClass.DisplayName}: given up. Reason: {Ended(news.Reason)} The studio will tell you what becomes of your booking.";
        var isFirst = news.Changes.All(change => change.Before is null);
        return $"{castingClass.DisplayName}: {(isFirst ? "dates are set" : "dates have changed")}. {Lines(news.Changes, placeOf)} "
            + Because(news.Reason)
            + "Your seat is one in every session. If you cannot come, tell the studio.";
    }

    /// <summary>To an instructor: the days that the person teaches, or taught.</summary>
    /// <param name="unreached">Students who get no message: somebody has to tell them.</param>
    public static string ToInstructor(
        ClassRecord castingClass, SessionsChanged news, string instructor, Func<string, string> placeOf, int unreached)
    {
        var concerned = news.Changes.Where(change => Teaches(change.Before, instructor) || Teaches(change.After, instructor));
        var lines = concerned.Select(change => Teaches(change.After, instructor) || !change.After.IsLive
            ? Line(change, placeOf)
            : $"{Named(change.After.Kind)} {At(change.Before!)} is taught by somebody else now.");
        return $"{castingClass.DisplayName}: your days. {string.Join(" ", lines)} {Because(news.Reason)}"
            + (unreached == 0 ? "Students with a seat are told." : $"{Count(unreached, "student")} with a seat {(unreached == 1 ? "gets" : "get")} no message: tell them yourself.");
    }

    public static string SeatOffered(ClassRecord castingClass, IReadOnlyList<SessionRecord> sessions, long expiresMs, TimeZoneInfo zone, Func<string, string> placeOf) =>
        $"{castingClass.DisplayName}: a seat is free for you. {Dates(sessions, placeOf)} It is kept until {ReminderTexts.At(expiresMs, zone)}; then it goes to the next who waits. "
        + "Tell the studio whether you take it.";

    /// <summary>To the owner, where the student gets no messages.</summary>
    public static string SeatOfferedUnsaid(ClassRecord castingClass, string enrolment, long expiresMs, TimeZoneInfo zone) =>
        $"{castingClass.DisplayName}: a seat is kept for somebody who waits and gets no messages. Call the student of enrolment {ResourceNames.IdOf(enrolment)} "
        + $"before {ReminderTexts.At(expiresMs, zone)}, then accept or decline for them.";

    public static string Overdue(IReadOnlyList<OverdueTask> tasks, TimeZoneInfo zone) =>
        $"{tasks[0].SiteDisplayName}: {Count(tasks.Count, "thing")} overdue before a pour. "
        + string.Join(" ", tasks.GroupBy(task => task.ClassDisplayName).Select(ofClass =>
            $"{ofClass.Key}: {string.Join(", ", ofClass.Select(task => $"{Named(task.Kind)} since {ReminderTexts.At(task.DueMs, zone)}"))}."))
        + " Do it and say so, or move the pour; sealant needs its night.";

    private static string Lines(IEnumerable<SessionChange> changes, Func<string, string> placeOf) =>
        string.Join(" ", changes.OrderBy(change => change.After.Kind).Select(change => Line(change, placeOf)));

    private static string Line(SessionChange change, Func<string, string> placeOf) => change switch
    {
        { After.IsLive: false } => $"{Named(change.After.Kind)} {At(change.After)} is not held.",
        { Before.IsLive: true } => $"{Named(change.After.Kind)} {AtPlace(change.After, placeOf)}, was {Was(change, placeOf)}.",
        _ => $"{Named(change.After.Kind)} {AtPlace(change.After, placeOf)}.",
    };

    private static string Was(SessionChange change, Func<string, string> placeOf) =>
        change.Before!.StartMs != change.After.StartMs || change.Before.Site != change.After.Site
            ? AtPlace(change.Before, placeOf)
            : "the same with another end, bench or instructor";

    private static string Dates(IEnumerable<SessionRecord> sessions, Func<string, string> placeOf)
    {
        var live = sessions.Where(session => session.IsLive).Select(session => $"{Named(session.Kind)} {AtPlace(session, placeOf)}.").ToList();
        return live.Count > 0 ? string.Join(" ", live) : "Its dates are not set yet.";
    }

    private static bool Teaches(SessionRecord? session, string instructor) => session is { IsLive: true } && session.Instructor == instructor;

    private static string AtPlace(SessionRecord session, Func<string, string> placeOf) => $"{At(session)} at {placeOf(session.Site)}";

    private static string At(SessionRecord session) => ReminderTexts.At(session.StartMs, TimeZoneInfo.FindSystemTimeZoneById(session.TimeZone));

    private static string Because(string reason) => reason.Length == 0 ? "" : $"Reason: {Ended(reason)} ";

    private static string Ended(string sentence) => sentence.EndsWith('.') ? sentence : $"{sentence}.";

    private static string Count(int count, string what) => $"{count} {what}{(count == 1 ? "" : "s")}";

    private static string Named(Kind kind) => kind switch
    {
        Kind.Pour => "Pour",
        Kind.Machine => "Machine day",
        _ => "Finish",
    };

    private static string Named(TaskKind kind) => kind switch
    {
        TaskKind.MouldBuild => "moulds built and sealed",
        TaskKind.LeakCheck => "leak check",
        TaskKind.WoodMetering => "wood metered",
        _ => "lots warmed",
    };
}
