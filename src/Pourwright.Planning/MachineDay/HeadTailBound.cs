namespace Pourwright.Planning.MachineDay;

/// <summary>What no schedule can beat, by arithmetic alone.</summary>
internal static class HeadTailBound
{
    /// <summary>Least end of the day, in min.</summary>
    /// <remarks>
    /// The longest job from its release; and for any set of n ≥ m operations of a stage with m places: the m least heads (what
    /// comes before, from the release), all their minutes, and the m least tails (what comes after), over m: each place waits
    /// for its first and is followed by the tail of its last. Holds for n &lt; m with n in place of m. Carlier 1987, Scheduling
    /// jobs with release dates and tails on identical machines, EJOR 29; cited from memory. Operations that may go to several
    /// stages count in heads and tails only.
    /// </remarks>
    public static int Minutes(ShopCase shop)
    {
        var longest = shop.Jobs.Select(j => j.Operations.Count == 0 ? 0 : j.ReleaseMinutes + j.LeastMinutes).DefaultIfEmpty(0).Max();
        return shop.Jobs.SelectMany(Tasks).GroupBy(t => t.Stage)
            .Select(stage => Stage([.. stage.OrderByDescending(t => t.Head)], shop.Stages[stage.Key].Places))
            .Append(longest).Max();
    }

    private static IEnumerable<Task> Tasks(ShopJob job)
    {
        var (head, length) = (job.ReleaseMinutes, job.ReleaseMinutes + job.LeastMinutes);
        foreach (var operation in job.Operations)
        {
            if (operation.Choices is [var only])
                yield return new(only.Stage, head, only.Minutes, length - head - only.Minutes);
            head += operation.LeastMinutes;
        }
    }

    // For every least tail, the operations with at least that tail, joined in the order of falling heads.
    private static int Stage(Task[] byHead, int places) =>
        byHead.Select(t => t.Tail).Distinct().Max(least => Longest(byHead.Where(t => t.Tail >= least), places));

    private static int Longest(IEnumerable<Task> byHead, int places)
    {
        var (best, minutes, heads, tails) = (0L, 0L, new List<int>(), new List<int>());
        foreach (var task in byHead)
        {
            minutes += task.Minutes;
            heads.Add(task.Head);
            tails.Add(task.Tail);
            tails.Sort();
            var busy = Math.Min(places, heads.Count);
            var sum = heads.TakeLast(busy).Sum(h => (long)h) + minutes + tails.Take(busy).Sum(t => (long)t);
            best = Math.Max(best, (sum + busy - 1) / busy);
        }
        return (int)best;
    }

    private readonly record struct Task(int Stage, int Head, int Minutes, int Tail);
}
