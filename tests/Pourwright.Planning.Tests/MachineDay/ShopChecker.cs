using Pourwright.Planning.MachineDay;

namespace Pourwright.Planning.Tests.MachineDay;

/// <summary>Looks a schedule over, knowing nothing of how it was made.</summary>
public static class ShopChecker
{
    /// <summary>What is wrong with it, a sentence each; none where it can be worked by.</summary>
    public static IReadOnlyList<string> Faults(ShopCase shop, ShopSchedule schedule) =>
        [.. Known(shop, schedule) is { Count: > 0 } unknown ? unknown : All(shop, schedule)];

    private static IEnumerable<string> All(ShopCase shop, ShopSchedule schedule) =>
        Missing(shop, schedule).Concat(Where(shop, schedule)).Concat(Order(shop, schedule)).Concat(Clashes(shop, schedule)).Concat(Bound(schedule));

    private static List<string> Known(ShopCase shop, ShopSchedule schedule) => [.. schedule.Runs
        .Where(r => r.Job < 0 || r.Job >= shop.Jobs.Count || r.Operation < 0 || r.Operation >= shop.Jobs[r.Job].Operations.Count)
        .Select(r => $"Job {r.Job}, operation {r.Operation} is not in the shop.")];

    private static IEnumerable<string> Missing(ShopCase shop, ShopSchedule schedule)
    {
        var times = schedule.Runs.CountBy(r => (r.Job, r.Operation)).ToDictionary();
        return shop.Jobs.SelectMany((job, j) => job.Operations.Select((_, o) => (Job: j, Operation: o)))
            .Where(at => times.GetValueOrDefault(at) != 1)
            .Select(at => $"{Name(shop, at.Job, at.Operation)} is done {times.GetValueOrDefault(at)} times, not once.");
    }

    private static IEnumerable<string> Where(ShopCase shop, ShopSchedule schedule)
    {
        foreach (var run in schedule.Runs)
        {
            var choices = shop.Jobs[run.Job].Operations[run.Operation].Choices;
            if (!choices.Contains(new(run.Stage, run.EndMinutes - run.StartMinutes)))
                yield return $"{Name(shop, run)} takes {run.EndMinutes - run.StartMinutes} min at stage {run.Stage}, which is none of its choices.";
            else if (run.Place < 0 || run.Place >= shop.Stages[run.Stage].Places)
                yield return $"{Name(shop, run)} is at place {run.Place} of {shop.Stages[run.Stage].Places}.";
        }
    }

    private static IEnumerable<string> Order(ShopCase shop, ShopSchedule schedule)
    {
        foreach (var job in schedule.Runs.GroupBy(r => r.Job))
        {
            var free = shop.Jobs[job.Key].ReleaseMinutes;
            foreach (var run in job.OrderBy(r => r.Operation))
            {
                if (run.StartMinutes < free)
                    yield return $"{Name(shop, run)} starts at {run.StartMinutes} min, its job is free at {free}.";
                free = run.EndMinutes;
            }
        }
    }

    private static IEnumerable<string> Clashes(ShopCase shop, ShopSchedule schedule) => schedule.Runs
        .GroupBy(r => (r.Stage, r.Place))
        .SelectMany(place => place.SelectMany(a => place.Where(b =>
            (a.Job, a.Operation).CompareTo((b.Job, b.Operation)) < 0 && a.StartMinutes < b.EndMinutes && b.StartMinutes < a.EndMinutes)
            .Select(b => $"{Name(shop, a)} and {Name(shop, b)} share place {a.Place} of stage {a.Stage}.")));

    private static IEnumerable<string> Bound(ShopSchedule schedule)
    {
        if (schedule.LowerBoundMinutes > schedule.MakespanMinutes)
            yield return $"It ends at {schedule.MakespanMinutes} min, and {schedule.LowerBoundMinutes} min were proved to be the least.";
    }

    private static string Name(ShopCase shop, ShopRun run) => Name(shop, run.Job, run.Operation);

    private static string Name(ShopCase shop, int job, int operation) => $"Operation {operation} of job {shop.Jobs[job].Id}";
}
