namespace Pourwright.Planning.LotUse;

/// <summary>What a class takes from a container, in mg.</summary>
public sealed record StockDraw(int Class, int Container, long MassMg);

/// <summary>Which class takes how much from which container.</summary>
/// <param name="Case">What was planned.</param>
/// <param name="Draws">By class and container; none is empty.</param>
/// <param name="IsProved">Fewer mixed-lot classes, or less waste at as many, cannot be had.</param>
public sealed record StockPlan(StockCase Case, IReadOnlyList<StockDraw> Draws, bool IsProved)
{
    /// <summary>Of a class and a part, what no container covers, in mg.</summary>
    public long MissingMg(int @class, StockPart part) =>
        Case.Classes[@class].MassMg(part) - DrawsOf(@class, part).Sum(draw => draw.MassMg);

    /// <summary>What a class takes of one part.</summary>
    public IEnumerable<StockDraw> DrawsOf(int @class, StockPart part) =>
        Draws.Where(draw => draw.Class == @class && Case.Containers[draw.Container].Part == part);

    /// <summary>The lots of one part that end up in a class, by name; what is missing will come from one more.</summary>
    public IReadOnlyList<string> LotsOf(int @class, StockPart part) =>
        [.. DrawsOf(@class, part).SelectMany(draw => Case.Containers[draw.Container].Lots).Distinct().Order(StringComparer.Ordinal)];

    /// <summary>Whether a class is poured from more than one lot of a part.</summary>
    public bool IsMixed(int @class) => IsMixed(@class, StockPart.A) || IsMixed(@class, StockPart.B);

    /// <inheritdoc cref="IsMixed(int)"/>
    public bool IsMixed(int @class, StockPart part) => LotsOf(@class, part).Count is var lots
        && (lots > 1 || (lots == 1 && MissingMg(@class, part) > 0));

    public int MixedClasses => Enumerable.Range(0, Case.Classes.Count).Count(IsMixed);

    /// <summary>In mg.</summary>
    public long MissingTotalMg => Enumerable.Range(0, Case.Classes.Count)
        .Sum(c => MissingMg(c, StockPart.A) + MissingMg(c, StockPart.B));

    /// <summary>What is left in a container, in mg.</summary>
    public long LeftMg(int container) =>
        Case.Containers[container].MassMg - Draws.Where(draw => draw.Container == container).Sum(draw => draw.MassMg);

    /// <summary>From when on a container is refused by this plan, which may open it.</summary>
    public long ExpireMs(int container) => Draws.Where(draw => draw.Container == container).Select(draw => draw.Class).Order()
        .Select(first => Case.Containers[container].ExpireMsIfUsed(Case.Classes[first].UseMs))
        .FirstOrDefault(Case.Containers[container].ExpireMs);

    /// <summary>What is left in a container and expires until the end, in mg.</summary>
    public long WasteMg(int container) => ExpireMs(container) <= Case.UntilMs ? LeftMg(container) : 0;

    public long WasteTotalMg => Enumerable.Range(0, Case.Containers.Count).Sum(WasteMg);
}
