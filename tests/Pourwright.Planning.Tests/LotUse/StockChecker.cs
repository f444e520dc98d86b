using Pourwright.Planning.LotUse;

namespace Pourwright.Planning.Tests.LotUse;

/// <summary>What is wrong with a plan, found without the solver.</summary>
public static class StockChecker
{
    /// <summary>A sentence each; none where the plan can be carried out.</summary>
    public static IReadOnlyList<string> Faults(StockPlan plan) =>
        [.. plan.Draws.SelectMany(draw => Faults(plan, draw)), .. Balances(plan)];

    private static IEnumerable<string> Faults(StockPlan plan, StockDraw draw)
    {
        var (stock, container, need) = (plan.Case, plan.Case.Containers[draw.Container], plan.Case.Classes[draw.Class]);
        if (draw.MassMg <= 0) yield return $"{need.Id} takes {draw.MassMg} mg from {container.Id}.";
        if (need.UseMs + stock.MarginMs >= plan.ExpireMs(draw.Container)) yield return $"{container.Id} has expired when {need.Id} pours.";
    }

    private static IEnumerable<string> Balances(StockPlan plan)
    {
        for (var k = 0; k < plan.Case.Containers.Count; k++)
            if (plan.LeftMg(k) < 0) yield return $"{plan.Case.Containers[k].Id} gives {-plan.LeftMg(k)} mg more than it holds.";
        for (var c = 0; c < plan.Case.Classes.Count; c++)
            foreach (var part in Enum.GetValues<StockPart>())
                if (plan.MissingMg(c, part) < 0) yield return $"{plan.Case.Classes[c].Id} takes {-plan.MissingMg(c, part)} mg of {part} more than it needs.";
    }
}
