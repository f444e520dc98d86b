using Pourwright.Planning.LotUse;

namespace Pourwright.Planning.Tests.LotUse;

/// <summary>Stocks of small numbers.</summary>
internal static class Stocks
{
    public static StockCase Of(IReadOnlyList<StockNeed> classes, params IReadOnlyList<StockContainer> containers) =>
        new() { Classes = classes, Containers = containers, UntilMs = 100 };

    public static StockContainer A(string id, string lot, long mass, long expire, long? openedLife = null) =>
        new(id, StockPart.A, [lot], mass, expire, openedLife);

    public static StockContainer B(string id, string lot, long mass, long expire, long? openedLife = null) =>
        new(id, StockPart.B, [lot], mass, expire, openedLife);
}
