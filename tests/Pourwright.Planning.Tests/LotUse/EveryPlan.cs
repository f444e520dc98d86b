using Pourwright.Planning.LotUse;

namespace Pourwright.Planning.Tests.LotUse;

/// <summary>Tries every plan of whole numbers in which no class misses more than by the plain rule.</summary>
internal static class EveryPlan
{
    public static (long Missing, int Mixed, long Waste) Best(StockCase stock)
    {
        var rule = FirstExpiring.Plan(stock);
        var cells = Enumerable.Range(0, stock.Classes.Count)
            .SelectMany(c => Enumerable.Range(0, stock.Containers.Count).Where(k => stock.MayDraw(c, k)).Select(k => (Class: c, Container: k))).ToArray();
        return Plans(stock, cells, 0, [])
            .Where(plan => StockChecker.Faults(plan).Count == 0)
            .Where(plan => Enumerable.Range(0, stock.Classes.Count).All(c => Enum.GetValues<StockPart>().All(part => plan.MissingMg(c, part) <= rule.MissingMg(c, part))))
            .Min(LotSolverTests.Score);
    }

    private static IEnumerable<StockPlan> Plans(StockCase stock, (int Class, int Container)[] cells, int cell, List<StockDraw> draws)
    {
        if (cell == cells.Length)
        {
            yield return new(stock, [.. draws], false);
            yield break;
        }
        var (@class, container) = cells[cell];
        var part = stock.Containers[container].Part;
        var taken = draws.Where(draw => draw.Container == container).Sum(draw => draw.MassMg);
        var had = draws.Where(draw => draw.Class == @class && stock.Containers[draw.Container].Part == part).Sum(draw => draw.MassMg);
        var most = Math.Min(stock.Containers[container].MassMg - taken, stock.Classes[@class].MassMg(part) - had);
        for (var mass = 0L; mass <= most; mass++)
        {
            if (mass > 0) draws.Add(new(@class, container, mass));
            foreach (var plan in Plans(stock, cells, cell + 1, draws)) yield return plan;
            if (mass > 0) draws.RemoveAt(draws.Count - 1);
        }
    }
}
