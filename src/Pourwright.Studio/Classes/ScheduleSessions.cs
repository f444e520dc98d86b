using Pourwright.Studio.Instructors;
using Pourwright.Studio.Names;
using Pourwright.Studio.Offerings;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.V1;
using Kind = Pourwright.V1.Session.Types.Kind;

namespace Pourwright.Studio.Classes;

/// <summary>What sessions set by hand are judged by; sites and instructors are those that they name.</summary>
public sealed record ScheduleFacts
{
    public required ClassRecord Class { get; init; }
    public required OfferingRecord Offering { get; init; }
    public required IReadOnlyList<SessionRecord> Before { get; init; }

    /// <summary>Those before that are held at sites which the caller does not see: they stay as they are.</summary>
    public IReadOnlyList<SessionRecord> Unseen { get; init; } = [];
    public required IReadOnlyDictionary<string, SiteRecord> Sites { get; init; }
    public required IReadOnlyDictionary<string, InstructorRecord> Instructors { get; init; }
}

/// <summary>Sessions of a class set by a person: the clock of the site counts, and the cure is not asked.</summary>
public static class ScheduleSessions
{
    private const int MinutesLeast = 5, MinutesMost = 16 * 60;

    /// <exception cref="Refusal">FIELD_INVALID, all fields at once.</exception>
    public static void CheckShape(ScheduleSessionsRequest request)
    {
        var checks = new FieldChecks()
            .Name("name", request.Name, ResourceKind.CastingClass)
            .Text("reason", request.Reason, 200, 0)
            .Require(Has(request, Kind.Pour) && Has(request, Kind.Machine) && request.Sessions.DistinctBy(one => one.Kind).Count() == request.Sessions.Count,
                "sessions", "must be the pour and the machine day, and the finish where there is one, each once.",
                string.Join(", ", request.Sessions.Select(one => one.Kind)));
        var studio = ResourceKind.CastingClass.Matches(request.Name) ? ResourceNames.StudioOf(request.Name) : null;
        for (var i = 0; i < request.Sessions.Count; i++) Check(checks, $"sessions[{i}]", request.Sessions[i], studio);
        checks.ThrowIfAny();
    }

    /// <summary>The sessions as wanted, in the order they are held, with those that the caller does not see.</summary>
    /// <exception cref="Refusal">CLASS_STATE, FIELD_INVALID, NOT_ALLOWED, LOCAL_TIME_MISSING, LOCAL_TIME_TWICE, TIME_OUT_OF_ORDER.</exception>
    public static IReadOnlyList<SessionRecord> Decide(ScheduleSessionsRequest request, ScheduleFacts facts)
    {
        if (!facts.Class.IsOpen) throw DescribeClass.Closed(facts.Class, "given no sessions any more");
        if (request.Reason.Length == 0 && facts.Before.Any(session => session.IsLive))
            throw Refusal.Invalid("reason", null, "must be said where dates change that people know.");
        if (facts.Unseen.FirstOrDefault(session => Has(request, session.Kind)) is { } unseen) throw Elsewhere(unseen);
        IReadOnlyList<SessionRecord> sessions = [.. request.Sessions.Select(one => ToRecord(one, facts)).Concat(facts.Unseen).OrderBy(one => one.Kind)];
        foreach (var (earlier, later) in sessions.Zip(sessions.Skip(1))) RequireOrder(earlier, later);
        return sessions;
    }

    /// <summary>What a person should know who set sessions by hand.</summary>
    public static IReadOnlyList<Caution> Cautions(IReadOnlyList<SessionRecord> sessions, ScheduleFacts facts) =>
    [
        Refusals.Cautions.Of(Reasons.CureNotAsked,
            $"The days of '{facts.Class.DisplayName}' were set by hand: nobody asked whether its pieces will be hard by the machine day. Ask for a plan, and test by touch first.",
            ("casting_class", facts.Class.Name)),
        .. sessions.Except(facts.Unseen).Select(session => facts.Instructors[session.Instructor]).DistinctBy(instructor => instructor.Name).Where(instructor => !instructor.Offerings.Contains(facts.Offering.Name)).Select(Untaught),
    ];

    private static void Check(FieldChecks checks, string path, SessionTime session, string? studio)
    {
        checks
            .Require(session.Kind is Kind.Pour or Kind.Machine or Kind.Finish, $"{path}.kind", "must be POUR, MACHINE or FINISH.", $"{session.Kind}")
            .Name($"{path}.site", session.Site, ResourceKind.Site, studio)
            .Day($"{path}.date", session.Date, required: true)
            .Require(session.StartTimeOfDay is not null, $"{path}.start_time_of_day", "must be set.")
            .TimeOfDay($"{path}.start_time_of_day", session.StartTimeOfDay)
            .Require(Enum.IsDefined(session.Fold), $"{path}.fold", "must be EARLIER or LATER, or not said.", $"{session.Fold}")
            .Minutes($"{path}.session_duration", session.SessionDuration, MinutesLeast, MinutesMost)
            .Name($"{path}.instructor", session.Instructor, ResourceKind.Instructor, studio);
        if (session.Bench.Length > 0) checks.Name($"{path}.bench", session.Bench, ResourceKind.Bench, session.Site);
    }

    private static bool Has(ScheduleSessionsRequest request, Kind kind) => request.Sessions.Any(one => one.Kind == kind);

    private static SessionRecord ToRecord(SessionTime one, ScheduleFacts facts) => SessionRecord.At(
        facts.Class.Name, one.Kind, facts.Sites[one.Site], one.Bench.Length > 0 ? one.Bench : null, Days.Of(one.Date),
        WholeMinutes.Of(one.StartTimeOfDay)!.Value, WholeMinutes.Of(one.SessionDuration) ?? UsualMinutes(one.Kind, facts.Offering), one.Instructor, one.Fold);

    private static int UsualMinutes(Kind kind, OfferingRecord offering) => kind switch
    {
        Kind.Pour => offering.PourMinutes,
        Kind.Machine => offering.MachineMinutes,
        _ => offering.FinishMinutes ?? throw Refusal.Invalid("sessions", $"{kind}",
            $"is a day that offering '{offering.Name}' does not have. Leave it out, or say how long it takes."),
    };

    private static void RequireOrder(SessionRecord earlier, SessionRecord later)
    {
        if (later.StartMs < earlier.EndMs)
            throw Refusal.Precondition(Reasons.TimeOutOfOrder,
                $"The {later.Kind} session begins at {Instants.Utc(later.StartMs)}, before the {earlier.Kind} session ends at {Instants.Utc(earlier.EndMs)}. Choose a later time.",
                ("earlier", earlier.Name), ("later", later.Name), ("start_time", Instants.Utc(later.StartMs)), ("earlier_end_time", Instants.Utc(earlier.EndMs)));
    }

    private static Refusal Elsewhere(SessionRecord session) => Refusal.NotAllowed(
        $"The {session.Kind} session of this class is held at a site that this key is not good for. Leave it out, and it stays as it is; to move it, ask somebody whose key is good there.",
        ("session", session.Name));

    private static Caution Untaught(InstructorRecord instructor) => Refusals.Cautions.Of(Reasons.InstructorUntaught,
        $"{instructor.DisplayName} is not on the list of those who teach this offering. Ask whether they may.", ("instructor", instructor.Name));
}
