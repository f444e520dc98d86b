using System.Globalization;
using Google.OrTools.Sat;

namespace Pourwright.Planning.MachineDay;

/// <summary>Finds a schedule with the least makespan.</summary>
public static class ShopSolver
{
    /// <summary>The best schedule found, and what is proved of it.</summary>
    /// <param name="shop">What is to be done.</param>
    /// <param name="effort">How hard to look.</param>
    /// <param name="cancellationToken">Stops the search; the best so far is kept.</param>
    /// <remarks>
    /// There is always a schedule: where the search finds none, it is the one people would work by. The search is left out where
    /// that one meets the bound that arithmetic gives.
    /// </remarks>
    public static ShopSchedule Solve(ShopCase shop, ShopEffort effort, CancellationToken cancellationToken = default)
    {
        var start = DayOrder.Start(shop) with { LowerBoundMinutes = HeadTailBound.Minutes(shop) };
        return start.IsProved || cancellationToken.IsCancellationRequested ? start : Search(shop, start, effort, cancellationToken);
    }

    private static ShopSchedule Search(ShopCase shop, ShopSchedule start, ShopEffort effort, CancellationToken cancellationToken)
    {
        var model = new ShopModel(shop, start);
        var found = Run(model.Model, effort, cancellationToken);
        var proved = Math.Max(start.LowerBoundMinutes, (int)Math.Ceiling(found.BestObjectiveBound - 1e-6));
        return found.Status is CpSolverStatus.Optimal or CpSolverStatus.Feasible
            ? model.Read(found.Solution, proved)
            : start;
    }

    // Stopping is heard from the moment the wrapper exists, also before the search has begun.
    private static CpSolverResponse Run(CpModel model, ShopEffort effort, CancellationToken cancellationToken)
    {
        using var search = new SolveWrapper();
        search.SetStringParameters(Parameters(effort));
        using var stop = cancellationToken.Register(search.StopSearch);
        return search.Solve(model.Model);
    }

    // One worker, and work counted instead of timed: the same answer every time. No linear relaxation: it says little of who goes
    // first, and without it car7 is proved in 0.2 s of a core instead of 1.4, ft20 in 1.3 instead of 2.5, ten pieces over two
    // planers in 0.14 instead of 0.4.
    private static string Parameters(ShopEffort effort) => string.Create(
        CultureInfo.InvariantCulture,
        $"num_workers:1 linearization_level:0 random_seed:{effort.Seed} {(double.IsFinite(effort.Work) ? $"max_deterministic_time:{effort.Work}" : "")}");
}
