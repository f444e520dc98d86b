using Pourwright.Planning.Checking;
using Pourwright.Planning.Season;
using Pourwright.Studio.Classes;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using State = Pourwright.V1.Plan.Types.State;

namespace Pourwright.Studio.Plans;

/// <summary>What becomes of a class when a plan is published: its sessions, none where it is given up, and why.</summary>
internal sealed record ClassDates(ClassRecord Class, IReadOnlyList<SessionRecord> Sessions, string Reason);

/// <summary>Whether a plan may be published, and what that changes.</summary>
internal static class PublishPlan
{
    /// <exception cref="Refusal">PLAN_STATE.</exception>
    public static void CheckState(PlanRecord plan, State wanted)
    {
        if (plan.State == wanted) return;
        throw Refusal.Precondition(
            Reasons.PlanState, $"{plan.Name} is {plan.State}, not {wanted}. Get it again; draft or replan anew where another one holds since.",
            ("plan", plan.Name), ("state", $"{plan.State}"));
    }

    /// <summary>A proposal goes on from the plan that holds; when that has changed it answers to nothing any more.</summary>
    /// <exception cref="Refusal">PLAN_STALE.</exception>
    public static void CheckBase(PlanRecord plan, string? published)
    {
        if (plan.BasePlan == published) return;
        throw Stale(plan, $"it was made from {plan.BasePlan ?? "no plan"}, and {published ?? "none"} holds now");
    }

    /// <summary>The plan in a season of now.</summary>
    /// <exception cref="Refusal">PLAN_STALE where a class, a person or a place of it is gone, where a class has been given dates since, or where it breaks a rule now.</exception>
    public static ClassPlan Check(PlannedSeason season, PlanRecord plan)
    {
        List<Placement> placed = [];
        foreach (var row in plan.Placed)
            placed.Add(season.ClassIndex(row.Class) is >= 0 and var c && season.PlacementOf(c, row.Sessions) is { } p
                ? p
                : throw Stale(plan, $"{ResourceNames.IdOf(row.Class)}, or a place or a person it needs, is not there any more"));
        if (season.Held.Except(placed).Select(p => season.Classes[p.Class].Name).FirstOrDefault(name => IsDatedSince(season, name, plan)) is { } since)
            throw Stale(plan, $"{ResourceNames.IdOf(since)} has been given dates since, which it would take away again");
        var held = season.Held.ToHashSet();
        var faults = PlanChecker.Check(season.Case, new(placed))
            .Where(fault => fault.Classes.Any(c => !held.Contains(placed.First(p => p.Class == c)))).ToArray();
        return faults.Length == 0 ? new(placed) : throw Stale(plan, string.Join("; ", faults.Take(5).Select(fault => fault.Text(season.Case))));
    }

    private static bool IsDatedSince(PlannedSeason season, string castingClass, PlanRecord plan) =>
        season.Facts.SessionsOf(castingClass).Any(session => session.ChangeMs > plan.CreateMs);

    /// <summary>The sessions that follow from it, for every class that changes. One that is held as it was keeps what was agreed upon, to the minute.</summary>
    public static IReadOnlyList<ClassDates> Decide(PlannedSeason season, ClassPlan plan, PlanRecord record, string reason)
    {
        var rows = record.Classes.ToDictionary(row => row.Class);
        string Why(string castingClass, string other) => rows.GetValueOrDefault(castingClass)?.Change is { Length: > 0 } change ? change : other;
        var placed = plan.Placed.Except(season.Held).Select(p => (Placement: p, Class: season.Classes[p.Class])).Select(at => new ClassDates(
            at.Class, season.Sessions(at.Placement, rows[at.Class.Name].BenchShares() is [var first, ..] ? first.Bench : null), Why(at.Class.Name, reason)));
        var given = season.Held.Where(p => plan.Placed.All(other => other.Class != p.Class)).Select(p => season.Classes[p.Class])
            .Select(castingClass => new ClassDates(castingClass, [], rows.GetValueOrDefault(castingClass.Name)?.Reason is { Length: > 0 } why ? why : reason));
        return [.. placed, .. given];
    }

    /// <summary>Nothing changes so close to a session that nobody can be asked, but by a person who answers for it.</summary>
    /// <exception cref="Refusal">SESSION_TOO_NEAR.</exception>
    public static void CheckNear(IEnumerable<SessionChange> changes, string decider, long nowMs, TimeSpan ahead)
    {
        if (decider.Length > 0) return;
        var untilMs = nowMs + (long)ahead.TotalMilliseconds;
        var near = changes.Where(change => change.IsNews && ((change.Before is { IsLive: true } before && before.StartMs < untilMs) || change.After.StartMs < untilMs))
            .Select(change => change.After).ToArray();
        if (near.Length == 0) return;
        throw Refusal.Precondition(
            Reasons.SessionTooNear,
            $"{string.Join(", ", near.Select(session => session.Name))} would change less than {ahead.TotalHours:0} h before it begins, or after. Speak with the "
            + "people concerned, and say in near_sessions_decider who answers for it.",
            ("sessions", string.Join(", ", near.Select(session => session.Name))), ("hours", $"{ahead.TotalHours:0}"));
    }

    public static Refusal Stale(PlanRecord plan, string why) => Refusal.Precondition(
        Reasons.PlanStale, $"{plan.Name} does not fit the records of now: {why}. Draft it anew.", ("plan", plan.Name), ("cause", why));
}
