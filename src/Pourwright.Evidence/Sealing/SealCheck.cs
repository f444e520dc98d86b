namespace Pourwright.Evidence.Sealing;

/// <summary>What is no more as it was recorded, and where.</summary>
/// <param name="Site">Empty where the list of seals itself was touched.</param>
/// <param name="Position">The first row that shows it; null where no one row does.</param>
public sealed record SealFault(string Site, long? Position, string Finding);

/// <summary>Compares rows with their links, with the heads that were sealed, and with a seal that somebody else kept.</summary>
/// <remarks>
/// Links alone find who changed rows and left the links. Who also computes links anew is found as far as a kept seal reaches: rows
/// recorded after the last seal that left the house can be rewritten unseen, so seal often and hand seals out.
/// </remarks>
public static class SealCheck
{
    /// <summary>All faults, by site; empty where everything is as recorded.</summary>
    /// <param name="rows">Every row, in the order they are stored in.</param>
    /// <param name="heads">Every head sealed so far, oldest first.</param>
    /// <param name="kept">A seal from outside, or null where there is none.</param>
    public static IReadOnlyList<SealFault> Faults(IEnumerable<ChainRow> rows, IReadOnlyList<SealedHead> heads, Seal? kept)
    {
        var chains = rows.ToLookup(row => row.Site);
        var headsOf = HeadsOf(heads, kept);
        return
        [
            .. chains.Select(chain => chain.Key).Union(headsOf.Select(head => head.Key)).Order(StringComparer.Ordinal)
                .SelectMany(site => ChainFaults(site, chains[site], headsOf[site])),
            .. kept is null ? [] : TreeFaults(heads, kept),
        ];
    }

    /// <summary>All heads by their site: those of the file and those of a kept seal.</summary>
    public static ILookup<string, SealedHead> HeadsOf(IEnumerable<SealedHead> heads, Seal? kept) =>
        heads.Concat(kept?.Heads ?? []).Distinct().ToLookup(head => head.Site);

    /// <summary>Whether the heads in the file are those that a kept seal stands over.</summary>
    public static IEnumerable<SealFault> TreeFaults(IReadOnlyList<SealedHead> heads, Seal kept)
    {
        if (heads.Count < kept.HeadCount)
            yield return new("", null, $"The seal of {kept.SealTime:O} stands over {kept.HeadCount} heads, {heads.Count} are left.");
        else if (Seal.RootOf(heads.Take(kept.HeadCount)) != kept.Root)
            yield return new("", null, $"The first {kept.HeadCount} heads do not give the seal of {kept.SealTime:O}: heads were changed.");
    }

    private static IEnumerable<SealFault> ChainFaults(string site, IEnumerable<ChainRow> rows, IEnumerable<SealedHead> heads)
    {
        var check = new ChainCheck(site, heads);
        foreach (var row in rows)
            if (check.Next(row) is { } fault) yield return fault;
        foreach (var fault in check.End()) yield return fault;
    }
}
