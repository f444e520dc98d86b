using Google.OrTools.Sat;

namespace Pourwright.Planning.LotUse;

/// <summary>A stock in the solver's words: a mass and a yes or no for each class and container that go together.</summary>
internal sealed class LotModel
{
    private readonly StockCase stock;
    private readonly StockPlan start;
    private readonly Dictionary<(int Class, int Container), (IntVar MassMg, BoolVar Drawn)> draws = [];
    private readonly List<IntVar> missing = [];
    private readonly List<BoolVar> mixed = [];
    private readonly List<IntVar> waste = [];

    /// <param name="start">A plan to begin with: no class may miss more than there.</param>
    public LotModel(StockPlan start)
    {
        (stock, this.start) = (start.Case, start);
        for (var c = 0; c < stock.Classes.Count; c++)
            AddClass(c);
        for (var k = 0; k < stock.Containers.Count; k++)
            AddContainer(k);
    }

    public CpModel Model { get; } = new();

    /// <summary>What is missing, in mg.</summary>
    public LinearExpr Missing => LinearExpr.Sum(missing);

    /// <summary>Number of mixed-lot classes.</summary>
    public LinearExpr Mixed => LinearExpr.Sum(mixed);

    /// <summary>What expires unused, in mg.</summary>
    public LinearExpr Waste => LinearExpr.Sum(waste);

    /// <summary>Small where early classes take what expires early.</summary>
    public LinearExpr Lateness()
    {
        var rank = Enumerable.Range(0, stock.Containers.Count)
            .OrderBy(k => stock.Containers[k].ExpireMs).ThenBy(k => stock.Containers[k].OpenedLifeMs is not null)
            .ThenBy(k => stock.Containers[k].Id, StringComparer.Ordinal)
            .Select((k, place) => (k, place)).ToDictionary(ranked => ranked.k, ranked => ranked.place);
        return LinearExpr.WeightedSum(
            draws.Values.Select(draw => draw.MassMg),
            draws.Keys.Select(pair => (long)(stock.Classes.Count - pair.Class) * rank[pair.Container]));
    }

    /// <summary>The plan that the solver found.</summary>
    public StockPlan Read(IList<long> values, bool isProved) => new(
        stock,
        [
            .. draws.Select(draw => new StockDraw(draw.Key.Class, draw.Key.Container, values[draw.Value.MassMg.Index]))
                .Where(draw => draw.MassMg > 0).OrderBy(draw => draw.Class).ThenBy(draw => draw.Container),
        ],
        isProved);

    /// <summary>Every variable as it is in a plan: a hint that leaves some open is mostly lost.</summary>
    public void Hint(StockPlan plan)
    {
        Model.ClearHints();
        var masses = plan.Draws.ToDictionary(draw => (draw.Class, draw.Container), draw => draw.MassMg);
        foreach (var (pair, (massMg, drawn)) in draws)
        {
            Model.AddHint(massMg, masses.GetValueOrDefault(pair));
            Model.AddHint(drawn, masses.ContainsKey(pair));
        }
        foreach (var add in hints) add(plan);
    }

    private readonly List<Action<StockPlan>> hints = [];

    private void AddClass(int @class)
    {
        var isMixed = Model.NewBoolVar($"mixed {@class}");
        mixed.Add(isMixed);
        hints.Add(plan => Model.AddHint(isMixed, plan.IsMixed(@class)));
        foreach (var part in (ReadOnlySpan<StockPart>)[StockPart.A, StockPart.B])
            AddPart(@class, part, isMixed);
    }

    private void AddPart(int @class, StockPart part, BoolVar isMixed)
    {
        var needMg = stock.Classes[@class].MassMg(part);
        var short_ = Model.NewIntVar(0, start.MissingMg(@class, part), $"missing {@class} {part}");
        missing.Add(short_);
        hints.Add(plan => Model.AddHint(short_, plan.MissingMg(@class, part)));
        int[] containers = [.. Enumerable.Range(0, stock.Containers.Count).Where(k => stock.Containers[k].Part == part && stock.MayDraw(@class, k))];
        foreach (var k in containers)
            AddDraw(@class, k, Math.Min(needMg, stock.Containers[k].MassMg));
        Model.Add(LinearExpr.Sum(containers.Select(k => draws[(@class, k)].MassMg).Append(short_)) == needMg);
        CountLots(@class, part, containers, short_, isMixed);
    }

    private void AddDraw(int @class, int container, long mostMg)
    {
        var (massMg, drawn) = (Model.NewIntVar(0, mostMg, $"draw {@class}.{container}"), Model.NewBoolVar($"drawn {@class}.{container}"));
        Model.Add(massMg <= mostMg * drawn);
        Model.Add(massMg >= drawn);
        draws.Add((@class, container), (massMg, drawn));
    }

    // One lot more than one makes a class mixed, and what is missing will be of another.
    private void CountLots(int @class, StockPart part, int[] containers, IntVar shortMg, BoolVar isMixed)
    {
        List<BoolVar> used = [];
        foreach (var lot in containers.SelectMany(k => stock.Containers[k].Lots).Distinct())
        {
            var isUsed = Model.NewBoolVar($"lot {@class} {lot}");
            foreach (var k in containers.Where(k => stock.Containers[k].Lots.Contains(lot)))
                Model.AddImplication(draws[(@class, k)].Drawn, isUsed);
            used.Add(isUsed);
            hints.Add(plan => Model.AddHint(isUsed, plan.LotsOf(@class, part).Contains(lot)));
        }
        if (start.MissingMg(@class, part) is var mostMg and > 0)
        {
            var another = Model.NewBoolVar($"another lot {@class} {part}");
            Model.Add(shortMg <= mostMg * another);
            used.Add(another);
            hints.Add(plan => Model.AddHint(another, plan.MissingMg(@class, part) > 0));
        }
        if (used.Count > 1)
            Model.Add(LinearExpr.Sum(used) <= 1 + (used.Count - 1) * isMixed);
    }

    private void AddContainer(int container)
    {
        int[] classes = [.. Enumerable.Range(0, stock.Classes.Count).Where(c => draws.ContainsKey((c, container)))];
        if (classes.Length == 0) return;
        Model.Add(LinearExpr.Sum(classes.Select(c => draws[(c, container)].MassMg)) <= stock.Containers[container].MassMg);
        foreach (var (first, i) in classes.Select((c, i) => (c, i)))
            foreach (var later in classes.Skip(i + 1).Where(later => !stock.StaysGood(container, first, later)))
                Model.AddBoolOr([draws[(first, container)].Drawn.Not(), draws[(later, container)].Drawn.Not()]);
        AddWaste(container, classes);
    }

    private void AddWaste(int container, int[] classes)
    {
        var (holds, taken) = (stock.Containers[container], LinearExpr.Sum(classes.Select(c => draws[(c, container)].MassMg)));
        var expires = holds.ExpireMs <= stock.UntilMs;
        int[] openers = expires ? [] : [.. classes.Where(c => holds.ExpireMsIfUsed(stock.Classes[c].UseMs) <= stock.UntilMs)];
        if (!expires && openers.Length == 0) return;
        var left = Model.NewIntVar(0, holds.MassMg, $"waste {container}");
        waste.Add(left);
        hints.Add(plan => Model.AddHint(left, plan.WasteMg(container)));
        if (expires)
            Model.Add(left >= holds.MassMg - taken);
        foreach (var opener in openers)
            Model.Add(left >= holds.MassMg - taken).OnlyEnforceIf(draws[(opener, container)].Drawn);
    }
}
