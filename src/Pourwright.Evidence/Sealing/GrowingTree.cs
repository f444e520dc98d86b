namespace Pourwright.Evidence.Sealing;

/// <summary>The root of <see cref="MerkleTree"/> after each leaf, at a cost that grows with the leaves and not with their square.</summary>
public sealed class GrowingTree
{
    /// <summary>Whole subtrees from left to right, each at most half as large as the one before.</summary>
    private readonly Stack<(Digest Root, int LeafCount)> _whole = [];

    public int LeafCount { get; private set; }

    public Digest Root => _whole.Count == 0 ? MerkleTree.Root([]) : _whole.Skip(1).Aggregate(_whole.Peek().Root, (right, left) => MerkleTree.Node(left.Root, right));

    public void Add(Digest leaf)
    {
        var (root, count) = (leaf, 1);
        while (_whole.TryPeek(out var left) && left.LeafCount == count)
            (root, count) = (MerkleTree.Node(_whole.Pop().Root, root), 2 * count);
        _whole.Push((root, count));
        LeafCount++;
    }
}
