using CsCheck;
using Pourwright.Evidence.Counts;

namespace Pourwright.Evidence.Tests.Counts;

public sealed class FisherExactTests
{
    // Of the 70 ways to choose 4 cups of 8: 16 + 1 have at least 3 right, 1 has 4 right.
    // Data and p: the R manual's TeaTasting; Fisher, The Design of Experiments, 1935, from memory.
    [Theory]
    [InlineData(3, 1, 1, 3, 17.0 / 70)]
    [InlineData(4, 0, 0, 4, 1.0 / 70)]
    // Invented counts; p computed with R 4.2.2, SciPy 1.10.1 and by summing the distribution.
    [InlineData(11, 3, 3, 117, 3.010415437015611e-11)]
    [InlineData(2, 3, 3, 117, 0.012281521942009653)]
    public void Greater_PublishedOrComputed_IsReproduced(int a, int b, int c, int d, double p) =>
        Assert.Equal(p, FisherExact.Greater(new(a, b, c, d)), p * 1e-12);

    // The R manual's Convictions: less 0.0004652.
    [Fact]
    public void Less_Convictions_IsReproduced() =>
        Assert.Equal(0.00046518094336290503, FisherExact.Less(new(2, 15, 10, 3)), 1e-15);

    // All 200 of 200 with it and none of 200 without: one of C(400, 200) ways. ln C(400, 200) by Stirling's series:
    // 400 ln 2 − ½ ln(200 π) − 1/(8·200) + 1/(192·200³), since C(2n, n) = 4ⁿ/√(πn) · exp(−1/(8n) + 1/(192n³) − ...).
    [Fact]
    public void LnGreater_FarTail_IsExact() => Assert.Equal(
        -(400 * Math.Log(2) - 0.5 * Math.Log(200 * Math.PI) - 1.0 / 1600 + 1 / (192 * 8e6)), FisherExact.LnGreater(new(200, 0, 0, 200)), 1e-10);

    // 1 of C(2400, 1200) is about 10^-720, below what a double holds.
    [Fact]
    public void LnGreater_BelowTheLeastDouble_StaysFinite()
    {
        var table = new TwoByTwo(1200, 0, 0, 1200);
        Assert.Equal(0, FisherExact.Greater(table));
        Assert.Equal(-(2400 * Math.Log(2) - 0.5 * Math.Log(1200 * Math.PI) - 1.0 / 9600), FisherExact.LnGreater(table), 1e-9);
    }

    // Any table: P(at least k) + P(at most k − 1) = 1, whichever of the two tails is summed.
    [Fact]
    public void GreaterAndLess_AnyTable_AddUp() => Gen.Select(Gen.Int[1, 60], Gen.Int[0, 60], Gen.Int[0, 60], Gen.Int[1, 60]).Sample((a, b, c, d) =>
    {
        var oneFewer = new TwoByTwo(a - 1, b + 1, c + 1, d - 1);
        Assert.Equal(1, FisherExact.Greater(new(a, b, c, d)) + FisherExact.Less(oneFewer), 1e-10);
    }, seed: "0000000000001");

    // The terms add up by hand too: brute force over all placements of 4 defects on 4 of 9 pieces.
    [Fact]
    public void Greater_SmallTables_EqualTheCountOfAllPlacements() => Assert.All(Enumerable.Range(0, 5), least =>
    {
        var placements = Enumerable.Range(0, 1 << 9).Where(bits => int.PopCount(bits) == 4).ToArray();
        var reached = placements.Count(bits => int.PopCount(bits & 0b1111) >= least);
        Assert.Equal((double)reached / placements.Length, FisherExact.Greater(new(least, 4 - least, 4 - least, 1 + least)), 1e-13);
    });

    [Fact]
    public void Greater_NothingDefective_IsCertain() => Assert.Equal(1, FisherExact.Greater(new(0, 5, 0, 9)));

    [Fact]
    public void Table_NegativeCount_IsRefused() => Assert.Throws<ArgumentOutOfRangeException>(() => new TwoByTwo(1, -1, 0, 0));
}
