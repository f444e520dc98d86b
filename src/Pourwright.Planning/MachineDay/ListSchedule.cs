namespace Pourwright.Planning.MachineDay;

/// <summary>How people work without a plan: whoever is free takes the first in line, and nobody waits for a better one.</summary>
/// <remarks>
/// Of all next operations the one that can start first is started, those that wait for the same place by their rank. Holds its
/// arrays from run to run, so that thousands of days cost no memory.
/// </remarks>
internal sealed class ListSchedule
{
    private readonly ShopCase shop;
    private readonly int[] first;
    private readonly int[] next;
    private readonly double[] ready;
    private readonly double[][] free;
    private readonly double[] start;
    private readonly (int Stage, int Place, double Minutes)[] chosen;

    public ListSchedule(ShopCase shop)
    {
        this.shop = shop;
        first = new int[shop.Jobs.Count + 1];
        for (var job = 0; job < shop.Jobs.Count; job++)
            first[job + 1] = first[job] + shop.Jobs[job].Operations.Count;
        (next, ready) = (new int[shop.Jobs.Count], new double[shop.Jobs.Count]);
        free = [.. shop.Stages.Select(s => new double[s.Places])];
        (start, chosen) = (new double[Operations], new (int, int, double)[Operations]);
    }

    /// <summary>Operations of all jobs, numbered job by job.</summary>
    public int Operations => first[^1];

    /// <summary>Runs the day; gives its end, in min.</summary>
    /// <param name="rank">One an operation: the lower goes first.</param>
    /// <param name="stretch">One an operation: how many times as long as planned it takes.</param>
    public double Run(ReadOnlySpan<double> rank, ReadOnlySpan<double> stretch)
    {
        Reset();
        var end = 0.0;
        for (var left = Operations; left > 0; left--)
            end = Math.Max(end, StartNext(rank, stretch));
        return end;
    }

    /// <summary>The last run, its stretch being 1.</summary>
    public ShopSchedule ToSchedule(int lowerBoundMinutes) => new(
        [.. shop.Jobs.SelectMany((job, j) => job.Operations.Select((_, o) => ToRun(j, o)))], lowerBoundMinutes);

    private ShopRun ToRun(int job, int operation)
    {
        var ((stage, place, minutes), begin) = (chosen[first[job] + operation], start[first[job] + operation]);
        return new(job, operation, stage, place, (int)begin, (int)(begin + minutes));
    }

    private void Reset()
    {
        Array.Clear(next);
        foreach (var places in free)
            Array.Clear(places);
        for (var job = 0; job < ready.Length; job++)
            ready[job] = shop.Jobs[job].ReleaseMinutes;
    }

    private double StartNext(ReadOnlySpan<double> rank, ReadOnlySpan<double> stretch)
    {
        var (job, begin, choice) = (-1, double.PositiveInfinity, default((int Stage, int Place, double Minutes)));
        for (var j = 0; j < next.Length; j++)
        {
            var operation = first[j] + next[j];
            if (operation == first[j + 1])
                continue;
            var (s, c) = Earliest(j, stretch[operation]);
            if (s < begin || s == begin && rank[operation] < rank[first[job] + next[job]])
                (job, begin, choice) = (j, s, c);
        }
        (start[first[job] + next[job]], chosen[first[job] + next[job]]) = (begin, choice);
        next[job]++;
        return ready[job] = free[choice.Stage][choice.Place] = begin + choice.Minutes;
    }

    // Where the job's next operation ends first.
    private (double Start, (int Stage, int Place, double Minutes) Choice) Earliest(int job, double stretch)
    {
        var (best, choice) = (double.PositiveInfinity, default((int, int, double)));
        var choices = shop.Jobs[job].Operations[next[job]].Choices;
        for (var i = 0; i < choices.Count; i++)
        {
            var (stage, minutes) = (choices[i].Stage, choices[i].Minutes * stretch);
            var place = FirstFree(free[stage]);
            var end = Math.Max(ready[job], free[stage][place]) + minutes;
            if (end < best)
                (best, choice) = (end, (stage, place, minutes));
        }
        return (Math.Max(ready[job], free[choice.Item1][choice.Item2]), choice);
    }

    private static int FirstFree(double[] places)
    {
        var best = 0;
        for (var place = 1; place < places.Length; place++)
            if (places[place] < places[best])
                best = place;
        return best;
    }
}
