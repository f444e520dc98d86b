using Pourwright.Evidence.Sealing;

namespace Pourwright.Evidence.Tests.Sealing;

public sealed class ChainCheckTests
{
    private const string Site = "sites/north";
    private static readonly DateTimeOffset Sealing = new(2026, 3, 7, 17, 0, 0, TimeSpan.Zero);

    /// <summary>One row taken out is one fault, not one for each row after it.</summary>
    [Fact]
    public void Next_RowTakenOut_OneFaultWhereItWas()
    {
        var rows = Rows(9);
        rows.RemoveAt(4);

        var faults = Faults(rows, []);

        Assert.Equal([4L], faults.Select(fault => fault.Position!.Value));
        Assert.Equal("Row 5 stands where row 4 belongs: rows were taken out, put in or moved.", faults[0].Finding);
    }

    /// <summary>Rows 0 to 3 are as sealed, row 5 was changed and all links after it: the seal over six is the first that tells.</summary>
    [Fact]
    public void End_LinksMadeAnewBetweenTwoSeals_TellsBetweenWhich()
    {
        var (before, after) = (Rows(9), Rows(9, changed: 5));
        SealedHead[] heads = [HeadOver(4), HeadOver(6), HeadOver(9)];

        Assert.Empty(Faults(before, heads));
        var fault = Assert.Single(Faults(after, heads));
        Assert.Equal("The first 6 rows are not those that were sealed on 2026-03-07T17:00:00.0000000+00:00. Its first 4 are those of an earlier seal.", fault.Finding);

        SealedHead HeadOver(int count) => new(Site, count, before[count - 1].Link, Sealing);
    }

    [Fact]
    public void GrowingTree_AfterEachLeaf_HasTheRootOfTheWholeTree()
    {
        var tree = new GrowingTree();
        Digest[] leaves = [.. Enumerable.Range(0, 70).Select(leaf => MerkleTree.Leaf([(byte)leaf]))];
        Assert.Equal(MerkleTree.Root([]), tree.Root);
        Assert.All(Enumerable.Range(0, 70), count =>
        {
            tree.Add(leaves[count]);
            Assert.Equal((count + 1, MerkleTree.Root(leaves.AsSpan(0, count + 1))), (tree.LeafCount, tree.Root));
        });
    }

    [Fact]
    public void SealJson_ReadsWhatItWrote()
    {
        var seal = Seal.Of([], [(Site, Rows(3)[^1]), ("sites/south", null)], Sealing);
        var again = SealJson.Read(SealJson.Write(seal));
        Assert.Equal((seal.SealTime, seal.HeadCount, seal.Root), (again.SealTime, again.HeadCount, again.Root));
        Assert.Equal(seal.Heads, again.Heads);
    }

    private static List<SealFault> Faults(IEnumerable<ChainRow> rows, SealedHead[] heads)
    {
        var check = new ChainCheck(Site, heads);
        return [.. rows.Select(check.Next).OfType<SealFault>(), .. check.End()];
    }

    private static List<ChainRow> Rows(int count, int changed = -1)
    {
        List<ChainRow> rows = [];
        for (var row = 0; row < count; row++) rows.Add(SiteChain.Next(Site, rows.LastOrDefault(), [(byte)row, (byte)(row == changed ? 1 : 0)]));
        return rows;
    }
}
