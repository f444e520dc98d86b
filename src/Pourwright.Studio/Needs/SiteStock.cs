using Pourwright.Planning.LotUse;
using Pourwright.Studio.Lots;
using Pourwright.V1;

namespace Pourwright.Studio.Needs;

/// <summary>What a coming class needs of one resin system.</summary>
/// <param name="Class">Its name.</param>
/// <param name="Site">Where it pours.</param>
/// <param name="System">Of which resin system.</param>
/// <param name="PourMs">The first pour, Unix ms.</param>
/// <param name="LastPourMs">The last layer, Unix ms: until then its resin must be good.</param>
/// <param name="Need">Of the whole class.</param>
public sealed record ClassNeed(string Class, string Site, string System, long PourMs, long LastPourMs, Parts Need);

/// <summary>What lots are planned from.</summary>
public sealed record StockFacts
{
    public required IReadOnlyList<ClassNeed> Classes { get; init; }

    /// <summary>Everything that is not spent, held or not.</summary>
    public required IReadOnlyList<ContainerContents> Containers { get; init; }

    /// <summary>How long a resin system lasts once opened, in ms; null where its sheet does not say.</summary>
    public required IReadOnlyDictionary<string, long?> OpenedShelfLifeMs { get; init; }

    public required NeedWindow Window { get; init; }
}

/// <summary>Which classes are planned.</summary>
/// <param name="StartMs">Those that pour from then on, Unix ms.</param>
/// <param name="EndMs">Up to then; what expires until then and is left counts as lost.</param>
/// <param name="MarginMs">How long before its expiry a container is used last.</param>
public sealed record NeedWindow(long StartMs, long EndMs, long MarginMs);

/// <summary>The stock of one resin system at one site, its classes in the order of their pours, and which takes what.</summary>
public sealed record SiteStock(
    string Site, string System, IReadOnlyList<ClassNeed> Classes, IReadOnlyList<ContainerContents> Containers, StockPlan Plan)
{
    /// <summary>Every site and resin system with a class or a container, by name. Sites do not share: what moves between them is moved by people.</summary>
    public static IReadOnlyList<SiteStock> Plans(StockFacts facts, CancellationToken stop = default)
    {
        var usable = facts.Containers.Where(IsUsable).ToLookup(contents => (contents.Container.Site, contents.Container.ResinSystem!));
        var classes = facts.Classes.OrderBy(need => need.PourMs).ThenBy(need => need.Class, StringComparer.Ordinal)
            .ToLookup(need => (need.Site, need.System));
        return
        [
            .. usable.Select(stock => stock.Key).Union(classes.Select(needs => needs.Key))
                .OrderBy(key => key.Site, StringComparer.Ordinal).ThenBy(key => key.Item2, StringComparer.Ordinal)
                .Select(key => Of(key.Site, key.Item2, [.. classes[key]], [.. usable[key]], facts, stop)),
        ];
    }

    /// <summary>What a class misses of a part, in mg.</summary>
    public long MissingMg(int @class, StockPart part) => Plan.MissingMg(@class, part);

    private static SiteStock Of(
        string site, string system, IReadOnlyList<ClassNeed> classes, IReadOnlyList<ContainerContents> containers, StockFacts facts,
        CancellationToken stop)
    {
        var stock = new StockCase
        {
            Classes = [.. classes.Select(need => new StockNeed(need.Class, need.LastPourMs, need.Need.AMassMg, need.Need.BMassMg))],
            Containers = [.. containers.Select(contents => Container(contents, facts.OpenedShelfLifeMs.GetValueOrDefault(system)))],
            UntilMs = facts.Window.EndMs,
            MarginMs = facts.Window.MarginMs,
        };
        return new(site, system, classes, containers, LotSolver.Solve(stock, cancellationToken: stop));
    }

    private static StockContainer Container(ContainerContents contents, long? openedLifeMs)
    {
        var container = contents.Container;
        return new(
            container.Name, container.Part == Part.A ? StockPart.A : StockPart.B, [.. contents.Lots.Select(lot => lot.Name)],
            container.RemainingMassMg, container.ExpireMs ?? StockContainer.Never,
            container.State == V1.Container.Types.State.Sealed ? openedLifeMs : null);
    }

    private static bool IsUsable(ContainerContents contents) =>
        contents.Container is { Held: false, RemainingMassMg: > 0, Part: Part.A or Part.B, ResinSystem: not null, State: not V1.Container.Types.State.Spent }
        && contents.HeldLot is null;
}
