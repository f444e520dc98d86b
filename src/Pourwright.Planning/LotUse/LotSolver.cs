using System.Globalization;
using Google.OrTools.Sat;

namespace Pourwright.Planning.LotUse;

/// <summary>Gives each class its lots.</summary>
/// <remarks>
/// In this order: least missing, fewest classes of more than one lot of a part, least left to expire, early classes from what
/// expires early. No class misses more than by <see cref="FirstExpiring"/>, so that nobody gives up resin to a class that
/// pours later. The last of the four is as good as found; it is what people would call tidy, and nobody is hurt without.
/// </remarks>
public static class LotSolver
{
    /// <summary>
    /// Work for each of the first three, and a quarter of it for the last, in the solver's own units, about a second of one
    /// idle core each: counted and not timed, so that the same stock gives the same plan on every machine.
    /// </summary>
    public const double WorkDefault = 1.5;

    private const double TidyShare = 0.25;

    /// <summary>The best plan found; there always is one.</summary>
    public static StockPlan Solve(StockCase stock, double work = WorkDefault, CancellationToken cancellationToken = default)
    {
        var best = FirstExpiring.Plan(stock);
        if (best.Draws.Count == 0) return best with { IsProved = best.WasteTotalMg == WasteAtLeast(stock) };
        var (model, proved) = (new LotModel(best), true);
        foreach (var (aim, value, least) in Aims(model, stock))
        {
            if (value(best) > least)
            {
                (best, var isProved) = Improve(model, aim, best, work, cancellationToken);
                proved &= isProved;
            }
            model.Model.Add(aim <= value(best));
        }
        (best, _) = Improve(model, model.Lateness(), best, TidyShare * work, cancellationToken);
        return best with { IsProved = proved };
    }

    // Without opened lives the plain rule misses least; with them nothing can miss less.
    private static long MissingAtLeast(StockCase stock) => FirstExpiring.Plan(
        stock with { Containers = [.. stock.Containers.Select(container => container with { OpenedLifeMs = null })] }).MissingTotalMg;

    // A plan without draws wastes what expires whatever is done.
    private static long WasteAtLeast(StockCase stock) =>
        stock.Containers.Where(container => container.ExpireMs <= stock.UntilMs).Sum(container => container.MassMg);

    private static (LinearExpr Aim, Func<StockPlan, long> Value, long Least)[] Aims(LotModel model, StockCase stock) =>
    [
        (model.Missing, plan => plan.MissingTotalMg, MissingAtLeast(stock)),
        (model.Mixed, plan => plan.MixedClasses, 0),
        (model.Waste, plan => plan.WasteTotalMg, 0),
    ];

    private static (StockPlan Best, bool IsProved) Improve(
        LotModel model, LinearExpr aim, StockPlan start, double work, CancellationToken cancellationToken)
    {
        model.Hint(start);
        model.Model.Minimize(aim);
        using var search = new SolveWrapper();
        search.SetStringParameters(string.Create(CultureInfo.InvariantCulture, $"num_workers:1 random_seed:1 max_deterministic_time:{work}"));
        using var stop = cancellationToken.Register(search.StopSearch);
        var found = search.Solve(model.Model.Model);
        return found.Status is CpSolverStatus.Optimal or CpSolverStatus.Feasible
            ? (model.Read(found.Solution, isProved: false), found.Status == CpSolverStatus.Optimal)
            : (start, false);
    }
}
