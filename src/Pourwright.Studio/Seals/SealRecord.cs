using Pourwright.Evidence.Sealing;
using Pourwright.Studio.Storage;
using V1 = Pourwright.V1;

namespace Pourwright.Studio.Seals;

/// <summary>A row of `seals`: made once, never changed. Its heads are the leaves from <see cref="FirstHead"/> up to <see cref="HeadCount"/>.</summary>
public sealed record SealRecord(string Name, string Studio, long SealMs, long FirstHead, long HeadCount, string Root)
{
    public V1.Seal ToProto(IEnumerable<HeadRecord> heads) => new()
    {
        Name = Name,
        SealTime = Instants.ToTimestamp(SealMs),
        HeadCount = (int)HeadCount,
        Root = Root,
        Heads = { heads.Select(head => new V1.SealedHead { Chain = head.Site, RowCount = head.RowCount, Link = head.Link }) },
    };

    /// <summary>What is given out.</summary>
    public Seal ToSeal(IEnumerable<HeadRecord> heads) =>
        new(Instants.FromUnixMs(SealMs), (int)HeadCount, Digest.FromHex(Root), [.. heads.Select(head => head.ToHead())]);
}

/// <summary>A row of `sealed_heads`.</summary>
/// <param name="Site">Name of a site, or of the studio.</param>
public sealed record HeadRecord(string Site, long RowCount, string Link, long SealMs)
{
    public SealedHead ToHead() => new(Site, RowCount, Digest.FromHex(Link), Instants.FromUnixMs(SealMs));

    public static HeadRecord Of(SealedHead head) => new(head.Site, head.RowCount, head.Link.Hex, head.SealTime.ToUnixMs());
}

/// <summary>A row of `chain_rows`.</summary>
public sealed record LinkRecord(long Position, string RecordTable, string RecordKey, long ColumnCount, string Link);
