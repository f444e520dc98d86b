using System.Text.Json.Nodes;

namespace Pourwright.Evidence.Sealing;

/// <summary>How far a site's chain had come when it was sealed: a leaf of the tree of seals.</summary>
/// <param name="RowCount">Rows of the chain up to this head, 0 for a site without any.</param>
/// <param name="Link">The link of the last of them, <see cref="SiteChain.Start"/> where there is none.</param>
public sealed record SealedHead(string Site, long RowCount, Digest Link, DateTimeOffset SealTime)
{
    public Digest Leaf() => MerkleTree.Leaf(CanonicalJson.Bytes(new JsonObject
    {
        ["link"] = Link.Hex,
        ["row_count"] = RowCount,
        ["seal_time_ms"] = SealTime.ToUnixTimeMilliseconds(),
        ["site"] = Site,
    }));
}

/// <summary>
/// What is handed out, kept by somebody who cannot write the studio's file: the digest over every head sealed so far, and the
/// heads of this sealing. A printed line or a mail is enough.
/// </summary>
/// <param name="HeadCount">Leaves under <paramref name="Root"/>: heads of this and all earlier sealings, in their order.</param>
public sealed record Seal(DateTimeOffset SealTime, int HeadCount, Digest Root, IReadOnlyList<SealedHead> Heads)
{
    /// <summary>Whether all its heads are of this studio or of its sites.</summary>
    public bool IsOf(string studio) => Heads.All(head => head.Site == studio || head.Site.StartsWith($"{studio}/", StringComparison.Ordinal));

    /// <summary>Seals the last row of each site; the new heads belong after <paramref name="earlier"/>.</summary>
    public static Seal Of(IReadOnlyList<SealedHead> earlier, IEnumerable<(string Site, ChainRow? Last)> sites, DateTimeOffset sealTime)
    {
        SealedHead[] heads = [.. sites.OrderBy(site => site.Site, StringComparer.Ordinal).Select(site => Head(site.Site, site.Last, sealTime))];
        return new(sealTime, earlier.Count + heads.Length, RootOf([.. earlier, .. heads]), heads);
    }

    public static Digest RootOf(IEnumerable<SealedHead> heads) => MerkleTree.Root(Leaves(heads));

    public static Digest[] Leaves(IEnumerable<SealedHead> heads) => [.. heads.Select(head => head.Leaf())];

    private static SealedHead Head(string site, ChainRow? last, DateTimeOffset sealTime) =>
        new(site, last is null ? 0 : last.Position + 1, last?.Link ?? SiteChain.Start(site), sealTime);
}
