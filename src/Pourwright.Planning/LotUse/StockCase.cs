namespace Pourwright.Planning.LotUse;

/// <summary>Which of the two parts of a resin system.</summary>
public enum StockPart
{
    A,
    B,
}

/// <summary>What stands at one site of one resin system, and the classes that will draw on it.</summary>
/// <remarks>Everything refers to everything else by its index in the lists here. Instants are in ms from one epoch.</remarks>
public sealed record StockCase
{
    public required IReadOnlyList<StockContainer> Containers { get; init; }

    /// <summary>In the order of their pours.</summary>
    public required IReadOnlyList<StockNeed> Classes { get; init; }

    /// <summary>What expires until then and is left over is waste, in ms.</summary>
    public required long UntilMs { get; init; }

    /// <summary>How long before its expiry a container is used last, in ms.</summary>
    public long MarginMs { get; init; }

    /// <summary>Whether a class may draw on a container, as long as that was not opened too early for it.</summary>
    public bool MayDraw(int @class, int container) =>
        Containers[container].MassMg > 0
        && Classes[@class].MassMg(Containers[container].Part) > 0
        && Classes[@class].UseMs + MarginMs < Containers[container].ExpireMs;

    /// <summary>Whether a sealed container that an earlier class opened is still good for a later one.</summary>
    public bool StaysGood(int container, int opened, int later) =>
        Containers[container].OpenedLifeMs is not { } lifeMs
        || Classes[later].UseMs + MarginMs < Classes[opened].UseMs + lifeMs;
}

/// <summary>A container that may be drawn on.</summary>
/// <param name="Id">Name in messages; ties are broken by it.</param>
/// <param name="Part">What it holds.</param>
/// <param name="Lots">Of which lots; several where one was topped up.</param>
/// <param name="MassMg">What is left, in mg.</param>
/// <param name="ExpireMs">From when on it is refused, as it stands; <see cref="Never"/> where nothing is known.</param>
/// <param name="OpenedLifeMs">How long it lasts from its opening on, in ms; null for one that is open, whose expiry says so already.</param>
public sealed record StockContainer(
    string Id, StockPart Part, IReadOnlyList<string> Lots, long MassMg, long ExpireMs, long? OpenedLifeMs = null)
{
    /// <summary>The expiry of what does not expire.</summary>
    public const long Never = long.MaxValue;

    /// <summary>From when on it is refused if it is drawn on at an instant.</summary>
    public long ExpireMsIfUsed(long useMs) => OpenedLifeMs is { } lifeMs ? Math.Min(ExpireMs, useMs + lifeMs) : ExpireMs;
}

/// <summary>What a class needs.</summary>
/// <param name="Id">Name in messages.</param>
/// <param name="UseMs">When it pours.</param>
/// <param name="AMassMg">In mg.</param>
/// <param name="BMassMg">In mg.</param>
public sealed record StockNeed(string Id, long UseMs, long AMassMg, long BMassMg)
{
    /// <summary>Of one part, in mg.</summary>
    public long MassMg(StockPart part) => part == StockPart.A ? AMassMg : BMassMg;
}
