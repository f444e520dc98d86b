using System.Text;
using System.Text.Json.Nodes;
using Pourwright.Evidence.Sealing;

namespace Pourwright.Evidence.Tests.Sealing;

/// <summary>
/// RFC 9162 prints no vectors. The roots over eight entries are those that test programs of certificate logs use, from memory;
/// `merkle_vectors.json` was computed by `merkle_vectors.py`, which gives these eight as well.
/// </summary>
public sealed class MerkleTreeTests
{
    private static readonly JsonNode Vectors = JsonNode.Parse(File.ReadAllText("Sealing/merkle_vectors.json"))!;

    private static readonly string[] LogEntries =
        ["", "00", "10", "2021", "3031", "40414243", "5051525354555657", "606162636465666768696a6b6c6d6e6f"];

    [Theory]
    [InlineData(0, "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855")]
    [InlineData(1, "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d")]
    [InlineData(2, "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125")]
    [InlineData(3, "aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77")]
    [InlineData(4, "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7")]
    [InlineData(5, "4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4")]
    [InlineData(6, "76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef")]
    [InlineData(7, "ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c")]
    [InlineData(8, "5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328")]
    public void Root_EntriesOfLogTests_GivesTheKnownRoot(int count, string root) =>
        Assert.Equal(root, MerkleTree.Root([.. LogEntries.Take(count).Select(entry => MerkleTree.Leaf(Convert.FromHexString(entry)))]).Hex);

    [Fact]
    public void Root_UpToTwentyRows_EqualsTheIndependentProgram() =>
        Assert.Equal(Texts(Vectors["roots"]!), Enumerable.Range(0, 21).Select(count => MerkleTree.Root(Rows(count)).Hex));

    [Fact]
    public void Inclusion_EveryRowOfSixTrees_EqualsTheIndependentProgramAndHolds() => Assert.All(Vectors["inclusion"]!.AsArray(), vector =>
    {
        var (index, leaves) = ((int)vector!["index"]!, Rows((int)vector["size"]!));
        var proof = MerkleTree.Inclusion(index, leaves);

        Assert.Equal(Texts(vector["proof"]!), proof.Select(digest => digest.Hex));
        Assert.True(MerkleTree.IsIncluded(leaves[index], index, leaves.Length, proof, MerkleTree.Root(leaves)));
    });

    [Fact]
    public void Consistency_EveryBeginningOfFiveTrees_EqualsTheIndependentProgramAndHolds() => Assert.All(Vectors["consistency"]!.AsArray(), vector =>
    {
        var (first, leaves) = ((int)vector!["first"]!, Rows((int)vector["second"]!));
        var proof = MerkleTree.Consistency(first, leaves);

        Assert.Equal(Texts(vector["proof"]!), proof.Select(digest => digest.Hex));
        Assert.True(MerkleTree.IsConsistent(first, MerkleTree.Root(leaves.AsSpan(0, first)), leaves.Length, MerkleTree.Root(leaves), proof));
    });

    /// <summary>Every tree of up to 17 leaves: each proof holds for its own leaf and index, and for no other.</summary>
    [Fact]
    public void IsIncluded_AnotherLeafIndexSizeOrProof_False()
    {
        for (var size = 1; size <= 17; size++)
        {
            var leaves = Rows(size);
            var root = MerkleTree.Root(leaves);
            for (var index = 0; index < size; index++)
            {
                var proof = MerkleTree.Inclusion(index, leaves);
                Assert.DoesNotContain(Enumerable.Range(-1, size + 2), other => other != index && MerkleTree.IsIncluded(leaves[index], other, size, proof, root));
                Assert.False(MerkleTree.IsIncluded(MerkleTree.Leaf([9]), index, size, proof, root));
                Assert.False(MerkleTree.IsIncluded(leaves[index], index, size, [.. proof, root], root));
                Assert.False(proof.Count > 0 && MerkleTree.IsIncluded(leaves[index], index, size, [.. proof.Skip(1)], root));
            }
        }
    }

    /// <summary>A leaf of the first tree is replaced in the second: no beginning that held it is consistent any more.</summary>
    [Fact]
    public void IsConsistent_EarlierLeafReplaced_False()
    {
        for (var size = 2; size <= 17; size++)
            for (var first = 1; first < size; first++)
            {
                var (before, after) = (Rows(first), Rows(size));
                after[first - 1] = MerkleTree.Leaf([9]);
                Assert.False(MerkleTree.IsConsistent(first, MerkleTree.Root(before), size, MerkleTree.Root(after), MerkleTree.Consistency(first, after)));
            }
    }

    [Fact]
    public void IsConsistent_SameTree_NeedsNoProofAndTakesNone()
    {
        var (root, other) = (MerkleTree.Root(Rows(5)), MerkleTree.Root(Rows(6)));
        Assert.True(MerkleTree.IsConsistent(5, root, 5, root, []));
        Assert.False(MerkleTree.IsConsistent(5, root, 5, other, []));
        Assert.False(MerkleTree.IsConsistent(5, root, 5, root, [root]));
        Assert.False(MerkleTree.IsConsistent(6, other, 5, root, []));
        Assert.False(MerkleTree.IsConsistent(0, root, 5, root, []));
    }

    /// <summary>A leaf that spells a node is no node: that is what the marks 0x00 and 0x01 are for.</summary>
    [Fact]
    public void Root_LeafMadeOfTwoDigests_IsNotTheNodeOverThem()
    {
        var leaves = Rows(2);
        Assert.NotEqual(MerkleTree.Root(leaves), MerkleTree.Leaf([.. leaves[0].ToBytes(), .. leaves[1].ToBytes()]));
    }

    private static Digest[] Rows(int count) =>
        [.. Enumerable.Range(0, count).Select(row => MerkleTree.Leaf(Encoding.UTF8.GetBytes($"row {row}")))];

    private static IEnumerable<string> Texts(JsonNode digests) => digests.AsArray().Select(digest => (string)digest!);
}
