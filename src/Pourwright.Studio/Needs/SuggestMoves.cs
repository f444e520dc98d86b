using Pourwright.Planning.LotUse;
using Pourwright.V1;

namespace Pourwright.Studio.Needs;

/// <summary>Containers that nobody needs where they stand, for classes that miss them elsewhere.</summary>
public static class SuggestMoves
{
    /// <summary>
    /// By the time of the pour; what expires first goes first, of equals what covers most. A container that its own site draws
    /// on stays, and none goes to two places.
    /// </summary>
    public static IReadOnlyList<LotMove> Of(IReadOnlyList<SiteStock> stocks)
    {
        HashSet<string> given = [];
        List<LotMove> moves = [];
        foreach (var miss in Misses(stocks))
        {
            var missingMg = miss.MassMg;
            foreach (var (stock, k) in Offered(stocks, miss).Where(offer => !given.Contains(Name(offer))).ToList())
            {
                if (missingMg <= 0) break;
                var coversMg = Math.Min(missingMg, stock.Plan.LeftMg(k));
                given.Add(Name((stock, k)));
                missingMg -= coversMg;
                moves.Add(Move(miss, stock, k, coversMg));
            }
        }
        return moves;
    }

    private static LotMove Move(Miss miss, SiteStock from, int container, long coversMg) => new()
    {
        Container = Name((from, container)),
        Part = miss.Part.ToProto(),
        FromSite = from.Site,
        ToSite = miss.Stock.Site,
        CastingClass = miss.Need.Class,
        MassMg = coversMg,
    };

    private static IEnumerable<Miss> Misses(IReadOnlyList<SiteStock> stocks) =>
        from stock in stocks
        from c in Enumerable.Range(0, stock.Classes.Count)
        from part in Enum.GetValues<StockPart>()
        where stock.MissingMg(c, part) > 0
        orderby stock.Classes[c].PourMs, stock.Classes[c].Class, part
        select new Miss(stock, c, part);

    private static IEnumerable<(SiteStock Stock, int Container)> Offered(IReadOnlyList<SiteStock> stocks, Miss miss) =>
        from stock in stocks
        where stock.System == miss.Stock.System && stock.Site != miss.Stock.Site
        from k in Enumerable.Range(0, stock.Containers.Count)
        let container = stock.Plan.Case.Containers[k]
        where container.Part == miss.Part && stock.Plan.LeftMg(k) == container.MassMg
            && miss.Need.LastPourMs + stock.Plan.Case.MarginMs < container.ExpireMs
        orderby container.ExpireMs, container.MassMg descending, container.Id
        select (stock, k);

    private static string Name((SiteStock Stock, int Container) offer) => offer.Stock.Containers[offer.Container].Container.Name;

    private sealed record Miss(SiteStock Stock, int Class, StockPart Part)
    {
        public ClassNeed Need => Stock.Classes[Class];

        public long MassMg => Stock.MissingMg(Class, Part);
    }
}
