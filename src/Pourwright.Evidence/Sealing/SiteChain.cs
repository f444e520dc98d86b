using System.Text;

namespace Pourwright.Evidence.Sealing;

/// <summary>A row of evidence as it stands in its site's chain.</summary>
/// <param name="Position">0 for the site's first row, then without a gap.</param>
/// <param name="Canonical">What was recorded, as <see cref="CanonicalJson"/> spells it.</param>
public sealed record ChainRow(string Site, long Position, byte[] Canonical, Digest Link);

/// <summary>The chain of one site: every link hashes the row and the link before it, so that no row changes alone.</summary>
/// <remarks>
/// A chain per site, because sites record at the same time and none should wait for the other. Whoever may write rows may also
/// compute links anew: against that only a seal helps that somebody else keeps, see <see cref="Seal"/>.
/// </remarks>
public static class SiteChain
{
    /// <summary>What a site's first row is chained to. It names the site, so that rows of one are no rows of another.</summary>
    public static Digest Start(string site) => Digest.Of(Encoding.UTF8.GetBytes($"pourwright site chain 1\n{site}"));

    /// <summary>SHA-256 of the 32 bytes of the link before, then the row.</summary>
    public static Digest Link(Digest previous, byte[] canonical) => Digest.Of(previous.ToBytes(), canonical);

    /// <summary>The row that comes after <paramref name="last"/>, or a site's first.</summary>
    public static ChainRow Next(string site, ChainRow? last, byte[] canonical) =>
        new(site, last is null ? 0 : last.Position + 1, canonical, Link(last?.Link ?? Start(site), canonical));

    /// <summary>The links that rows of these bytes, in this order, would have.</summary>
    public static IEnumerable<Digest> Links(string site, IEnumerable<byte[]> canonicals)
    {
        var link = Start(site);
        foreach (var canonical in canonicals)
            yield return link = Link(link, canonical);
    }
}
