namespace Pourwright.Planning.MachineDay;

/// <summary>In which order people take the pieces.</summary>
public static class DayOrder
{
    /// <summary>Jobs as people line them up: who is surely ready first, of equals the one with most work ahead.</summary>
    public static IReadOnlyList<int> ByReadiness(ShopCase shop) =>
        [.. Enumerable.Range(0, shop.Jobs.Count).OrderBy(j => shop.Jobs[j].ReleaseMinutes).ThenByDescending(j => shop.Jobs[j].LeastMinutes)];

    /// <summary>The day as it goes when nobody plans it and everything takes as long as it is said to.</summary>
    /// <param name="order">All jobs, first in line first; null = by readiness.</param>
    public static ShopSchedule Unplanned(ShopCase shop, IReadOnlyList<int>? order = null)
    {
        var list = new ListSchedule(shop);
        list.Run(Rank(shop, order ?? ByReadiness(shop)), AsSaid(list));
        return list.ToSchedule(HeadTailBound.Minutes(shop));
    }

    /// <summary>The shortest of a few ways to line up; none is a plan, each is a start for one.</summary>
    internal static ShopSchedule Start(ShopCase shop) => new[] { Rank(shop, ByReadiness(shop)), MostWorkLeft(shop) }
        .Select(rank => Listed(shop, rank)).MinBy(s => s.MakespanMinutes)!;

    /// <summary>One an operation: place of its job in the order.</summary>
    internal static double[] Rank(ShopCase shop, IReadOnlyList<int> order)
    {
        if (order.Count != shop.Jobs.Count || order.Distinct().Count() != order.Count)
            throw new ArgumentException($"An order of {order.Count} jobs for a day of {shop.Jobs.Count}; name each of them once.");
        var place = new int[order.Count];
        for (var i = 0; i < order.Count; i++)
            place[order[i]] = i;
        return [.. shop.Jobs.SelectMany((job, j) => job.Operations.Select(_ => (double)place[j]))];
    }

    internal static double[] AsSaid(ListSchedule list)
    {
        var stretch = new double[list.Operations];
        Array.Fill(stretch, 1);
        return stretch;
    }

    private static ShopSchedule Listed(ShopCase shop, double[] rank)
    {
        var list = new ListSchedule(shop);
        list.Run(rank, AsSaid(list));
        return list.ToSchedule(0);
    }

    // Ties go by readiness: of equal jobs the first in line then goes first everywhere, as the model wants it.
    private static double[] MostWorkLeft(ShopCase shop)
    {
        var ready = Rank(shop, ByReadiness(shop));
        var work = shop.Jobs.SelectMany(job => job.Operations.Select((_, o) => job.Operations.Skip(o).Sum(later => later.LeastMinutes)));
        return [.. work.Zip(ready, (minutes, place) => place - (double)minutes * shop.Jobs.Count)];
    }
}
