using Pourwright.Planning.Season;

namespace Pourwright.Planning.Greedy;

/// <summary>Plans as a person books: class by class, nothing moved once it is booked.</summary>
public static class GreedyPlanner
{
    private const int OrderCount = 23;

    // As much as the longest way within reach of the invented seasons costs; chosen by hand, no source.
    private const int GatheringDayPoints = 15;

    private static readonly Func<ClassWays, double>[] Keys =
    [
        _ => 0,
        c => c.Count,
        c => -c.Request.Students,
        c => -(double)c.Request.Students / (c.Offering.Finish is null ? 3 : 4),
        c => c.Request.LastDay,
        c => -c.Request.FirstDay,
        c => c.Request.LastDay - c.Request.FirstDay,
        c => c.Request.Weekdays.Count,
        c => c.Request.FavouriteDay,
    ];

    /// <summary>In the order of the requests; each gets the free day nearest to its favourite one, and of that the way with fewest points.</summary>
    public static ClassPlan FirstFit(SeasonCase season) => Book(season, ClassWays.Of(season), null, Rule.NearestDay).Plan();

    /// <summary>
    /// First fit in 23 orders: as requested, fewest ways, most students, most students a half day, earliest end, latest begin,
    /// shortest window, fewest weekdays, earliest favourite day, and shuffled by the seed.
    /// </summary>
    public static IEnumerable<ClassPlan> All(SeasonCase season, int seed)
    {
        var ways = ClassWays.Of(season);
        return Orders(ways, seed).Select(order => Book(season, ways, order, Rule.NearestDay).Plan());
    }

    /// <summary>The one of <see cref="All(SeasonCase, int)"/> with most students, the first of equals.</summary>
    public static ClassPlan Best(SeasonCase season, int seed) => All(season, seed).MaxBy(plan => plan.Students(season))!;

    /// <summary>Where a search begins: the best of all orders by all rules, some of the classes alone.</summary>
    internal static SeasonLoad Start(SeasonCase season, ClassWays[] ways, IEnumerable<int> only, int seed) =>
        Orders([.. only.Select(c => ways[c])], seed).SelectMany(order => Enum.GetValues<Rule>().Select(rule => Book(season, ways, order, rule)))
            .OrderByDescending(load => load.Students).ThenBy(load => load.Points).First();

    private static IEnumerable<ClassWays[]> Orders(ClassWays[] classes, int seed)
    {
        var random = new Random(seed);
        foreach (var key in Keys) yield return [.. classes.OrderBy(key)];
        for (var shuffle = Keys.Length; shuffle < OrderCount; shuffle++)
        {
            ClassWays[] order = [.. classes];
            random.Shuffle(order);
            yield return order;
        }
    }

    private static SeasonLoad Book(SeasonCase season, ClassWays[] ways, ClassWays[]? order, Rule rule)
    {
        var load = new SeasonLoad(season, ways);
        var insertion = new Insertion(season, load) { DayPoints = rule == Rule.Together ? GatheringDayPoints : 0 };
        foreach (var @class in order ?? ways)
            if ((rule == Rule.NearestDay ? insertion.First(@class, NearestFirst(@class)) : insertion.Cheapest(@class)) is { } way)
                load.Add(way);
        return load;
    }

    private static IEnumerable<(SiteWays At, PourWay Pour)> NearestFirst(ClassWays ways) => ways.Sites.SelectMany(at =>
        at.Pours.OrderBy(pour => Math.Abs(pour.Day - ways.Request.FavouriteDay)).ThenBy(pour => pour.Slot).Select(pour => (at, pour)));

    private enum Rule
    {
        NearestDay,
        FewestPoints,
        Together,
    }
}
