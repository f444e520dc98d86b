using Pourwright.Planning.Season;

namespace Pourwright.Planning.Greedy;

/// <summary>Plans as a person books: class by class, nothing moved once it is booked.</summary>
public static class GreedyPlanner
{
    private const int Shuffles = 5;

    // Of the weights tried (0, 15, 60) on invented seasons; no source.
    private const int GatheringDayPoints = 15;

    private static readonly Comparison<ClassWays>[] Orders =
    [
        (a, b) => 0,
        (a, b) => a.Count.CompareTo(b.Count),
        (a, b) => b.Request.Students.CompareTo(a.Request.Students),
        (a, b) => a.Request.LastDay.CompareTo(b.Request.LastDay),
        (a, b) => a.Request.Weekdays.Count != b.Request.Weekdays.Count
            ? a.Request.Weekdays.Count.CompareTo(b.Request.Weekdays.Count) : b.Request.Students.CompareTo(a.Request.Students),
        (a, b) => (b.Request.Students * (a.Offering.Finish is null ? 3 : 4)).CompareTo(a.Request.Students * (b.Offering.Finish is null ? 3 : 4)),
    ];

    /// <summary>In the order of the requests; each gets the free day nearest to its favourite one, and of that the way with fewest points.</summary>
    public static ClassPlan FirstFit(SeasonCase season) => Book(season, ClassWays.Of(season), null, Rule.NearestDay).Plan();

    /// <summary>
    /// The 23 plans of six orders (requests, fewest ways, most students, earliest end, fewest weekdays, most students a half day) by
    /// three rules (nearest to the favourite day, fewest points, people kept together), and of five shuffles by the last.
    /// </summary>
    public static IEnumerable<ClassPlan> All(SeasonCase season, int seed) => All(season, ClassWays.Of(season), null, seed).Select(load => load.Plan());

    /// <summary>The one of <see cref="All(SeasonCase, int)"/> with most students, then fewest points.</summary>
    public static ClassPlan Best(SeasonCase season, int seed) => Best(season, ClassWays.Of(season), null, seed).Plan();

    internal static SeasonLoad Best(SeasonCase season, ClassWays[] ways, IReadOnlyCollection<int>? only, int seed) =>
        All(season, ways, only, seed).OrderByDescending(load => load.Students).ThenBy(load => load.Points).First();

    private static IEnumerable<SeasonLoad> All(SeasonCase season, ClassWays[] ways, IReadOnlyCollection<int>? only, int seed)
    {
        ClassWays[] wanted = only is null ? ways : [.. only.Order().Select(c => ways[c])];
        foreach (var order in Orders)
            foreach (var rule in Enum.GetValues<Rule>())
                yield return Book(season, ways, [.. wanted.Order(Comparer<ClassWays>.Create(order))], rule);
        var random = new Random(seed);
        for (var shuffle = 0; shuffle < Shuffles; shuffle++)
        {
            ClassWays[] order = [.. wanted];
            random.Shuffle(order);
            yield return Book(season, ways, order, Rule.Together);
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
