namespace Pourwright.Planning.LotUse;

/// <summary>Every class in the order of its pour takes what expires first, whatever lot that is of.</summary>
/// <remarks>
/// Without opened shelf lives no other plan leaves less missing to a class, given what the classes before it took, nor less in
/// sum: of two containers that both still serve, the one that expires sooner serves no later class that the other does not. A
/// shelf life that begins with the opening can make it pay to leave a can closed; the search looks for that.
/// </remarks>
public static class FirstExpiring
{
    /// <summary>The plan of this rule.</summary>
    public static StockPlan Plan(StockCase stock)
    {
        var left = stock.Containers.Select(container => container.MassMg).ToArray();
        var openedBy = new int?[left.Length];
        List<StockDraw> draws = [];
        for (var @class = 0; @class < stock.Classes.Count; @class++)
            foreach (var part in (ReadOnlySpan<StockPart>)[StockPart.A, StockPart.B])
                draws.AddRange(Draw(stock, @class, part, left, openedBy));
        return new(stock, draws, IsProved: false);
    }

    private static IEnumerable<StockDraw> Draw(StockCase stock, int @class, StockPart part, long[] left, int?[] openedBy)
    {
        var missingMg = stock.Classes[@class].MassMg(part);
        foreach (var container in Usable(stock, @class, part, left, openedBy))
        {
            var massMg = Math.Min(missingMg, left[container]);
            if (massMg == 0) yield break;
            openedBy[container] ??= @class;
            left[container] -= massMg;
            missingMg -= massMg;
            yield return new(@class, container, massMg);
        }
    }

    // First what expires first if it is used now; of equals what is open, then what is sooner empty.
    private static int[] Usable(StockCase stock, int @class, StockPart part, long[] left, int?[] openedBy) =>
    [
        .. Enumerable.Range(0, left.Length)
            .Where(k => left[k] > 0 && stock.Containers[k].Part == part && stock.MayDraw(@class, k))
            .Where(k => openedBy[k] is not { } opened || stock.StaysGood(k, opened, @class))
            .OrderBy(k => stock.Containers[k].ExpireMsIfUsed(stock.Classes[openedBy[k] ?? @class].UseMs))
            .ThenBy(k => stock.Containers[k].OpenedLifeMs is not null && openedBy[k] is null)
            .ThenBy(k => left[k]).ThenBy(k => stock.Containers[k].Id, StringComparer.Ordinal),
    ];
}
