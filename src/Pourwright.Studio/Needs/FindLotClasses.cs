using Pourwright.Planning.LotUse;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Needs;

/// <summary>What a hold on a lot does to the coming classes: planned once with the lot and once without.</summary>
public static class FindLotClasses
{
    /// <summary>Facts in which the lot may be used, whether it is held or not.</summary>
    public static StockFacts With(StockFacts facts, string lot) => Set(facts, lot, held: false);

    /// <summary>Facts in which it is held.</summary>
    public static StockFacts Without(StockFacts facts, string lot) => Set(facts, lot, held: true);

    /// <summary>The classes that a plan would give some of it, by the time of the pour.</summary>
    public static IReadOnlyList<LotClass> Decide(StockFacts facts, string lot, CancellationToken stop = default)
    {
        var without = SiteStock.Plans(Without(facts, lot), stop).ToDictionary(stock => (stock.Site, stock.System));
        return
        [
            .. SiteStock.Plans(With(facts, lot), stop).SelectMany(stock => Classes(stock, without.GetValueOrDefault((stock.Site, stock.System)), lot))
                .OrderBy(found => found.PourTime.ToUnixMs()).ThenBy(found => found.CastingClass, StringComparer.Ordinal),
        ];
    }

    private static IEnumerable<LotClass> Classes(SiteStock with, SiteStock? without, string lot) =>
        from c in Enumerable.Range(0, with.Classes.Count)
        let drawn = with.Plan.Draws.Where(draw => draw.Class == c && with.Plan.Case.Containers[draw.Container].Lots.Contains(lot)).ToArray()
        where drawn.Length > 0
        let part = with.Plan.Case.Containers[drawn[0].Container].Part
        let need = with.Classes[c]
        select new LotClass
        {
            CastingClass = need.Class,
            Site = need.Site,
            PourTime = Instants.ToTimestamp(need.PourMs),
            MassMg = drawn.Sum(draw => draw.MassMg),
            MissingMassMg = without!.MissingMg(c, part),
            OtherLots = { without.Plan.LotsOf(c, part) },
            Mixed = without.Plan.IsMixed(c, part),
        };

    private static StockFacts Set(StockFacts facts, string lot, bool held) => facts with
    {
        Containers =
        [
            .. facts.Containers.Select(contents => contents with
            {
                Lots = [.. contents.Lots.Select(each => each.Name == lot ? each with { Held = held } : each)],
            }),
        ],
    };
}
