using Pourwright.Evidence.Counts;

namespace Pourwright.Evidence.Tests.Counts;

public sealed class ProportionTests
{
    // Newcombe 1998, from memory; confirmed with statsmodels 0.13.5.
    [Theory]
    [InlineData(81, 263, 0.2553, 0.3662)]
    [InlineData(15, 148, 0.0624, 0.1605)]
    [InlineData(0, 20, 0, 0.1611)]
    [InlineData(1, 29, 0.0061, 0.1718)]
    // 29 of 29 mirrors 0 of 29: 29/(29 + 1.96²) = 0.8830.
    [InlineData(29, 29, 0.8830, 1)]
    public void Wilson_PublishedExamples_AreReproduced(int defective, int pieces, double low, double high) =>
        AssertClose(Proportion.Wilson(defective, pieces), low, high, 5e-5);

    // The same counts by Clopper and Pearson; computed with statsmodels 0.13.5.
    [Theory]
    [InlineData(81, 263, 0.2527367455852713, 0.3676219226013513)]
    [InlineData(15, 148, 0.05784401008344857, 0.161650490349479)]
    [InlineData(1, 29, 0.000872646883579922, 0.17764429548872293)]
    [InlineData(11, 14, 0.4920243229515281, 0.9534207121101327)]
    // None of n: (1 − p)ⁿ = 0.025, so 1 − 0.025^(1/20) = 0.168433.
    [InlineData(0, 20, 0, 0.16843347098308534)]
    public void Exact_Counts_LeaveTheStatedTails(int defective, int pieces, double low, double high) =>
        AssertClose(Proportion.Exact(defective, pieces), low, high, 1e-10);

    // 56/70 − 48/80: Newcombe 1998, method 10, from memory. The others: computed with statsmodels 0.13.5.
    [Theory]
    [InlineData(56, 70, 48, 80, 0.0524, 0.3339)]
    [InlineData(9, 10, 3, 10, 0.1705, 0.8090)]
    [InlineData(6, 7, 2, 7, 0.0582, 0.8062)]
    [InlineData(5, 56, 0, 29, -0.0381, 0.1926)]
    [InlineData(10, 10, 0, 10, 0.6075, 1)]
    [InlineData(11, 14, 3, 120, 0.4951, 0.9003)]
    public void Difference_PublishedExamples_AreReproduced(int a, int n, int b, int m, double low, double high) =>
        AssertClose(Proportion.Difference(a, n, b, m), low, high, 5e-5);

    // Three of three at ½ each: 1/8; at least two of three: 3/8 + 1/8.
    [Fact]
    public void AtLeast_FairCoin_CountsSides()
    {
        Assert.Equal(0.125, Proportion.AtLeast(3, 3, 0.5), 1e-12);
        Assert.Equal(0.5, Proportion.AtLeast(2, 3, 0.5), 1e-12);
        Assert.Equal(0.5, Proportion.AtMost(1, 3, 0.5), 1e-12);
        Assert.Equal((1.0, 1.0), (Proportion.AtLeast(0, 3, 0.5), Proportion.AtMost(3, 3, 0.5)));
    }

    [Theory]
    [InlineData(0, 0)]
    [InlineData(-1, 5)]
    [InlineData(6, 5)]
    public void Wilson_ImpossibleCounts_AreRefused(int defective, int pieces) =>
        Assert.ThrowsAny<ArgumentOutOfRangeException>(() => Proportion.Wilson(defective, pieces));

    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(95)]
    public void Wilson_ConfidenceThatIsNone_IsRefused(double confidence) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => Proportion.Wilson(1, 5, confidence));

    private static void AssertClose(Interval interval, double low, double high, double tolerance)
    {
        Assert.Equal(low, interval.Low, tolerance);
        Assert.Equal(high, interval.High, tolerance);
    }
}
