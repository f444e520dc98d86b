using Pourwright.Planning.Checking;
using Pourwright.Planning.Season;

namespace Pourwright.Studio.Plans;

/// <summary>Classes that have their sessions stay in a draft as they are, whatever a search made of them.</summary>
internal static class KeepHeld
{
    /// <summary>The held classes as they are, and of the new ones all that hold beside them, those with most students first.</summary>
    public static ClassPlan Decide(PlannedSeason season, ClassPlan found)
    {
        var held = season.Held.ToDictionary(p => p.Class);
        var isKept = held.Values.All(p => found.Placed.Contains(p));
        if (isKept) return found;
        List<Placement> placed = [.. held.Values];
        foreach (var p in found.Placed.Where(p => !held.ContainsKey(p.Class)).OrderByDescending(p => season.Case.Classes[p.Class].Students))
            if (FaultsOf(season.Case, [.. placed, p], p.Class).Count == 0) placed.Add(p);
        return new([.. placed.OrderBy(p => p.Class)]);
    }

    /// <summary>What a class breaks in a plan.</summary>
    public static IReadOnlyList<PlanFault> FaultsOf(SeasonCase season, IReadOnlyList<Placement> placed, int castingClass) =>
        [.. PlanChecker.Check(season, new(placed)).Where(fault => fault.Classes.Contains(castingClass))];
}
