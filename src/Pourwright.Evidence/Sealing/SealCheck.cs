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
        var chains = rows.GroupBy(row => row.Site).ToDictionary(chain => chain.Key, chain => chain.ToArray());
        var links = chains.ToDictionary(chain => chain.Key, chain => SiteChain.Links(chain.Key, chain.Value.Select(row => row.Canonical)).ToArray());
        return
        [
            .. chains.OrderBy(chain => chain.Key, StringComparer.Ordinal).SelectMany(chain => RowFaults(chain.Key, chain.Value)),
            .. heads.Concat(kept?.Heads ?? []).Distinct().SelectMany(head => HeadFaults(head, links.GetValueOrDefault(head.Site) ?? [])),
            .. kept is null ? [] : TreeFaults(heads, kept),
        ];
    }

    private static IEnumerable<SealFault> RowFaults(string site, ChainRow[] rows)
    {
        var previous = SiteChain.Start(site);
        foreach (var (position, row) in rows.Index())
        {
            if (row.Position != position)
                yield return new(site, position, $"Row {row.Position} stands where row {position} belongs: rows were taken out, put in or moved.");
            else if (SiteChain.Link(previous, row.Canonical) != row.Link)
                yield return new(site, position, $"Row {position} does not give its link {row.Link}: it, its place or the row before it was changed.");
            previous = row.Link;
        }
    }

    private static IEnumerable<SealFault> HeadFaults(SealedHead head, Digest[] links)
    {
        if (head.RowCount > links.Length)
            yield return new(head.Site, links.Length, $"{head.RowCount} rows were sealed on {head.SealTime:O}, {links.Length} are left.");
        else if ((head.RowCount == 0 ? SiteChain.Start(head.Site) : links[head.RowCount - 1]) != head.Link)
            yield return new(head.Site, null, $"The first {head.RowCount} rows are not those that were sealed on {head.SealTime:O}.");
    }

    private static IEnumerable<SealFault> TreeFaults(IReadOnlyList<SealedHead> heads, Seal kept)
    {
        if (heads.Count < kept.HeadCount)
            yield return new("", null, $"The seal of {kept.SealTime:O} stands over {kept.HeadCount} heads, {heads.Count} are left.");
        else if (Seal.RootOf(heads.Take(kept.HeadCount)) != kept.Root)
            yield return new("", null, $"The first {kept.HeadCount} heads do not give the seal of {kept.SealTime:O}: heads were changed.");
    }
}
