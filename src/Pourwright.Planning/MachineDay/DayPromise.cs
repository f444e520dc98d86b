namespace Pourwright.Planning.MachineDay;

/// <summary>When a second day is over: what may be promised, and what our order would bring.</summary>
/// <param name="PromisedMinutes">Over by then on nine days of ten though people take pieces in their own order, in whole min.</param>
/// <param name="WithOurOrder">The best order found; its makespan is reached only if nothing takes longer than said.</param>
/// <param name="Order">The same as a run sheet.</param>
public sealed record DayPromise(int PromisedMinutes, ShopSchedule WithOurOrder, RunOrder Order)
{
    public static DayPromise Of(
        SecondDayShop day, SimulationTerms? terms = null, ShopEffort? effort = null, CancellationToken cancellationToken = default)
    {
        var best = ShopSolver.Solve(day.Case, effort ?? ShopEffort.Day, cancellationToken);
        var promised = (int)Math.Ceiling(DaySimulation.P90Minutes(day.Case, terms));
        return new(promised, best, RunOrder.Of(day, best));
    }
}
