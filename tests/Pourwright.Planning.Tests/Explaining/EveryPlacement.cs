using Pourwright.Planning.Explaining;
using Pourwright.Planning.Season;

namespace Pourwright.Planning.Tests.Explaining;

/// <summary>Looks at every placement of a class by every person for each session, one by one: slow, and nothing to get wrong.</summary>
internal static class EveryPlacement
{
    /// <summary>Inclusion-minimal sets of rules that the checker finds broken, as bits.</summary>
    public static IReadOnlyList<int> MinimalCorrections(SeasonCase season, ClassPlan plan, int @class, SearchReach reach) =>
        Minimal(Of(season, @class, reach).Select(p => Broken(season, plan, p)));

    private static int Broken(SeasonCase season, ClassPlan plan, Placement p) =>
        RuleSet.Of(new ChangedSeason(season, new([.. plan.Placed, p])).FaultsOf([p.Class]).Select(fault => fault.Rule)).Bits;

    private static int[] Minimal(IEnumerable<int> sets)
    {
        var all = sets.ToHashSet();
        return [.. all.Where(set => !all.Any(other => other != set && (other & ~set) == 0))];
    }

    private static IEnumerable<Placement> Of(SeasonCase season, int @class, SearchReach reach)
    {
        var request = season.Classes[@class];
        var offering = season.Offerings[request.Offering];
        var people = Enumerable.Range(0, season.Instructors.Count).ToArray();
        return
            from site in Enumerable.Range(0, season.Sites.Count)
            where request.Sites.Any(asked => season.TravelMinutes[asked][site] <= reach.SiteMinutes)
            from pour in Slots(season, request.FirstDay - reach.Days, request.LastDay + reach.Days)
            from machine in Slots(season, pour / 2 + 1, pour / 2 + offering.LongestGapDays + reach.Days)
            where machine % 2 == 0
            from finish in offering.Finish is { } rule
                ? Slots(season, machine / 2 + 1, machine / 2 + rule.WithinDays + reach.Days).Select(slot => (int?)slot) : [null]
            from one in people
            from two in people
            from three in finish is null ? [0] : people
            select new Placement(@class, site, new(pour, one), new(machine, two), finish is { } last ? new(last, three) : null);
    }

    private static IEnumerable<int> Slots(SeasonCase season, int firstDay, int lastDay)
    {
        var (first, last) = (Math.Max(0, firstDay), Math.Min(season.Days - 1, lastDay));
        return Enumerable.Range(2 * first, Math.Max(0, 2 * (last - first + 1)));
    }
}
