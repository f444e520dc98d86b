using Pourwright.Planning.Replanning;
using Pourwright.Planning.Season;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.V1;

namespace Pourwright.Studio.Plans;

/// <summary>From ways out of what happened to proposals with their reasons: each class that moves says why.</summary>
internal static class ProposePlans
{
    /// <summary>From the fewest sessions moved to the fewest classes given up; none where nothing is broken.</summary>
    public static IReadOnlyList<PlanRecord> Decide(PlannedSeason season, PlanMending mending, PlanEvent happened, string published, Func<string> newName)
    {
        var broken = mending.Broken.ToDictionary(one => one.Class);
        return
        [
            .. mending.Proposals.OrderBy(proposal => proposal.Changes).Select(proposal =>
            {
                var record = DraftPlan.Decide(
                    season, proposal.Plan, season.Held.Sum(p => season.Case.Classes[p.Class].Students),
                    new(newName(), Plan.Types.State.Proposed, published, happened, c => Cause(season, broken, proposal, happened, c)), _ => "");
                return record with { Cautions = MessageListJson.Write([.. MessageListJson.Read<Caution>(record.Cautions), .. mending.Stuck.Select(c => Stuck(season, broken, c))]) };
            }),
        ];
    }

    /// <summary>What a search came to, in a sentence: also why there is nothing to choose.</summary>
    public static string Found(PlannedSeason season, PlanMending mending)
    {
        var broken = string.Join(", ", mending.Broken.Select(one => Id(season, one.Class)));
        if (mending.Broken.Count == 0) return "Nothing of the plan is broken by that: nothing to choose.";
        if (mending.Proposals.Count > 0) return $"It breaks {broken}.";
        return mending.Broken.All(one => mending.Stuck.Contains(one.Class))
            ? $"It breaks {broken}, which begin too soon to be moved or have no other day. Speak with the people, and name classes that may change all the same."
            : $"It breaks {broken}, and no way out was found in the time given. Give it longer.";
    }

    private static string Cause(
        PlannedSeason season, Dictionary<int, BrokenClass> broken, MendedPlan proposal, PlanEvent happened, int castingClass)
    {
        var because = MeetEvent.Words(happened);
        if (broken.TryGetValue(castingClass, out var faults)) return $"{because}: {PlanWords.Consequence(faults.Faults.Select(fault => fault.Rule))}";
        var for_ = proposal.Moved.FirstOrDefault(moved => moved.From.Class == castingClass)?.MakesRoomFor ?? [];
        return for_.Count > 0
            ? $"makes room for {string.Join(", ", for_.Select(c => Id(season, c)))}, because {because}"
            : $"suits better so, now that {because}";
    }

    private static Caution Stuck(PlannedSeason season, Dictionary<int, BrokenClass> broken, int castingClass)
    {
        var rules = PlanWords.Broken(broken[castingClass].Faults.Select(fault => fault.Rule));
        return Cautions.Of(
            Reasons.PlanBreaksRule, $"{Id(season, castingClass)} begins too soon to be moved, and breaks {rules}. Speak with its people, and name it in near_classes.",
            ("casting_class", season.Classes[castingClass].Name), ("rules", rules));
    }

    private static string Id(PlannedSeason season, int castingClass) => ResourceNames.IdOf(season.Classes[castingClass].Name);
}
