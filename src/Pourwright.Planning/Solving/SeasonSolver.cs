using Pourwright.Planning.Greedy;
using Pourwright.Planning.Season;

namespace Pourwright.Planning.Solving;

/// <summary>Plans a season: as many students as can be, then as few points as can be.</summary>
public static class SeasonSolver
{
    /// <summary>Solves with so much work; cancelling is no fault, the best plan until then is the answer.</summary>
    public static SolvedPlan Solve(SeasonCase season, PlanEffort effort, IProgress<PlanProgress>? progress, CancellationToken cancel)
    {
        var ways = ClassWays.Of(season);
        var parts = SeasonParts.Of(season, ways);
        var bounds = parts.Select(part => StudentsBound.Alone(season, ways, part)).ToArray();
        SeasonLoad best = GreedyPlanner.Best(season, ways, null, effort.Seed);
        var plans = parts.Select(part => part.Select(best.Of).OfType<Placement>().ToArray()).ToArray();
        Tell(PlanStage.Starting);
        var heldBefore = parts.Select((part, k) => plans[k]).ToArray();
        for (var cooling = 0; cooling < effort.Coolings && !cancel.IsCancellationRequested; cooling++)
        {
            var lanes = Math.Max(1, effort.Lanes / parts.Length);
            var jobs = Enumerable.Range(0, parts.Length * lanes).Select(job => new PlanSearch(season, ways, parts[job / lanes], plans[job / lanes],
                HashCode(effort.Seed, cooling, job))).ToArray();
            var rounds = ((long)effort.RoundsAClass) << cooling;
            Parallel.For(0, jobs.Length, new ParallelOptions { MaxDegreeOfParallelism = effort.Lanes },
                job => jobs[job].Cool(rounds * parts[job / lanes].Length, cooling == 0 ? 1 : 0.5, cancel));
            for (var part = 0; part < parts.Length; part++)
                plans[part] = [.. jobs.Skip(part * lanes).Take(lanes).OrderByDescending(job => job.BestStudents).ThenBy(job => job.BestPoints).First().Best.Placed];
            Tell(PlanStage.Searching);
        }
        return Solved();

        SolvedPlan Solved()
        {
            ClassPlan plan = new([.. plans.SelectMany(part => part).OrderBy(p => p.Class)]);
            return new(plan, plan.Students(season), bounds.Sum(), PlanPoints.Of(season, plan).Total, null);
        }
        void Tell(PlanStage stage)
        {
            if (progress is null) return;
            var now = Solved();
            progress.Report(new(stage, now.Plan.Placed.Count, now.Students, now.StudentsBound, now.Points));
        }
    }

    private static int HashCode(int seed, int cooling, int job) => unchecked((seed * 7919 + cooling) * 104729 + job);
}
