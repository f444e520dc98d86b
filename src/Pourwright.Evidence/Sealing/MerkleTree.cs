using System.Numerics;

namespace Pourwright.Evidence.Sealing;

/// <summary>The hash tree of RFC 9162, section 2.1, over SHA-256: one digest for a list, short proofs about it.</summary>
public static class MerkleTree
{
    private static readonly byte[] LeafMark = [0x00];
    private static readonly byte[] NodeMark = [0x01];

    /// <summary>The digest of a leaf: SHA-256 of 0x00, then its bytes.</summary>
    public static Digest Leaf(byte[] entry) => Digest.Of(LeafMark, entry);

    /// <summary>The digest over all leaves in their order; of none, SHA-256 of nothing [RFC 9162, 2.1.1].</summary>
    public static Digest Root(ReadOnlySpan<Digest> leaves) => leaves.Length switch
    {
        0 => Digest.Of([]),
        1 => leaves[0],
        _ => Node(Root(leaves[..Split(leaves.Length)]), Root(leaves[Split(leaves.Length)..])),
    };

    /// <summary>What shows that the leaf at <paramref name="index"/> is in the tree: the digests beside its way up [RFC 9162, 2.1.3.1].</summary>
    public static IReadOnlyList<Digest> Inclusion(int index, ReadOnlySpan<Digest> leaves)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(index);
        ArgumentOutOfRangeException.ThrowIfGreaterThanOrEqual(index, leaves.Length);
        if (leaves.Length == 1)
            return [];
        var split = Split(leaves.Length);
        return index < split
            ? [.. Inclusion(index, leaves[..split]), Root(leaves[split..])]
            : [.. Inclusion(index - split, leaves[split..]), Root(leaves[..split])];
    }

    /// <summary>What shows that the tree over all leaves grew from that over the first <paramref name="first"/> [RFC 9162, 2.1.4.1].</summary>
    public static IReadOnlyList<Digest> Consistency(int first, ReadOnlySpan<Digest> leaves)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(first);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(first, leaves.Length);
        return Grown(first, leaves, known: true);
    }

    /// <summary>Is a leaf at this index of a tree of this many leaves, by its proof? [RFC 9162, 2.1.3.2]</summary>
    public static bool IsIncluded(Digest leaf, long index, long treeSize, IReadOnlyList<Digest> proof, Digest root)
    {
        if (index < 0 || index >= treeSize)
            return false;
        var (node, last, reached) = (index, treeSize - 1, leaf);
        foreach (var beside in proof)
        {
            if (last == 0)
                return false;
            (node, last, reached) = Climb(node, last, reached, beside);
        }
        return last == 0 && reached == root;
    }

    /// <summary>Did a tree of <paramref name="secondSize"/> leaves grow from one of <paramref name="firstSize"/>, by its proof? [RFC 9162, 2.1.4.2]</summary>
    public static bool IsConsistent(long firstSize, Digest firstRoot, long secondSize, Digest secondRoot, IReadOnlyList<Digest> proof)
    {
        if (firstSize <= 0 || firstSize > secondSize)
            return false;
        if (firstSize == secondSize)
            return proof.Count == 0 && firstRoot == secondRoot;
        Digest[] path = BitOperations.IsPow2(firstSize) ? [firstRoot, .. proof] : [.. proof];
        return path.Length > 0 && GrewFrom(firstSize, firstRoot, secondSize, secondRoot, path);
    }

    private static bool GrewFrom(long firstSize, Digest firstRoot, long secondSize, Digest secondRoot, Digest[] path)
    {
        var lone = BitOperations.TrailingZeroCount(~(firstSize - 1));
        var (node, last) = (firstSize - 1 >> lone, secondSize - 1 >> lone);
        var (before, after) = (path[0], path[0]);
        foreach (var beside in path.AsSpan(1))
        {
            if (last == 0)
                return false;
            if (IsRightOrLast(node, last))
                before = Node(beside, before);
            (node, last, after) = Climb(node, last, after, beside);
        }
        return last == 0 && before == firstRoot && after == secondRoot;
    }

    /// <summary>One proof digest up. A node without a sibling rises unhashed until it is a right child.</summary>
    private static (long Node, long Last, Digest Reached) Climb(long node, long last, Digest reached, Digest beside)
    {
        if (!IsRightOrLast(node, last))
            return (node >> 1, last >> 1, Node(reached, beside));
        while ((node & 1) == 0 && node != 0)
            (node, last) = (node >> 1, last >> 1);
        return (node >> 1, last >> 1, Node(beside, reached));
    }

    private static bool IsRightOrLast(long node, long last) => (node & 1) == 1 || node == last;

    /// <param name="known">The reader has the digest of these leaves already: they are the whole of the first tree.</param>
    private static IReadOnlyList<Digest> Grown(int first, ReadOnlySpan<Digest> leaves, bool known)
    {
        if (first == leaves.Length)
            return known ? [] : [Root(leaves)];
        var split = Split(leaves.Length);
        return first <= split
            ? [.. Grown(first, leaves[..split], known), Root(leaves[split..])]
            : [.. Grown(first - split, leaves[split..], known: false), Root(leaves[..split])];
    }

    internal static Digest Node(Digest left, Digest right) => Digest.Of(NodeMark, left.ToBytes(), right.ToBytes());

    /// <summary>The largest power of two below <paramref name="count"/>.</summary>
    private static int Split(int count) => (int)BitOperations.RoundUpToPowerOf2((uint)count) / 2;
}
