using Pourwright.Studio.Classes;
using Pourwright.Studio.Lots;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.V1;

namespace Pourwright.Studio.Needs;

/// <summary>Classes that pour and what stands on the shelves, of a whole studio.</summary>
/// <param name="Classes">Each with its pour.</param>
/// <param name="Containers">What is not spent.</param>
/// <param name="OpenedShelfLifeMs">By resin system.</param>
/// <param name="Zones">By site.</param>
public sealed record StudioNeeds(
    IReadOnlyList<(ClassNeedFacts Class, SessionRecord Pour)> Classes, IReadOnlyList<ContainerContents> Containers,
    IReadOnlyDictionary<string, long?> OpenedShelfLifeMs, IReadOnlyDictionary<string, TimeZoneInfo> Zones)
{
    /// <summary>What lots are planned from. A class whose need cannot be reckoned is left out, with a caution: the others need theirs all the same.</summary>
    public StockFacts Facts(NeedWindow window, ICollection<Caution> cautions) => new()
    {
        Classes = [.. Classes.SelectMany(each => Needs(each.Class, each.Pour, cautions))],
        Containers = Containers,
        OpenedShelfLifeMs = OpenedShelfLifeMs,
        Window = window,
    };

    private static List<ClassNeed> Needs(ClassNeedFacts facts, SessionRecord pour, ICollection<Caution> cautions)
    {
        try
        {
            var resin = NeedResin.Decide(facts.Facts(MixShape.Terms(null)));
            return [.. resin.Batches.GroupBy(batch => batch.System.Name).Select(batches => new ClassNeed(
                facts.Class, pour.Site, batches.Key, pour.StartMs, pour.StartMs + facts.LastPourOffsetMs, resin.Total(batches.Key)))];
        }
        catch (Refusal refusal)
        {
            cautions.Add(Refusals.Cautions.Of(refusal.Reason,
                $"{ResourceNames.IdOf(facts.Class)} is left out: {refusal.Message}", [.. refusal.Facts.Select(fact => (fact.Key, fact.Value)), ("class", facts.Class)]));
            return [];
        }
    }
}
