using Pourwright.Evidence.Watch;

namespace Pourwright.Evidence.Tests.Watch;

public sealed class PChartTests
{
    // NIST/SEMATECH e-Handbook 6.3.3.2, defective chips on 30 wafers of 50; counts from memory, their mean of 0.2313 confirmed.
    private static readonly int[] Wafers =
        [12, 15, 8, 10, 4, 7, 16, 9, 14, 10, 5, 6, 17, 12, 22, 8, 10, 5, 13, 11, 20, 18, 24, 15, 9, 12, 7, 13, 9, 6];

    private static PChart Nist => PChart.Of(Wafers.Select((defective, i) => new InspectedGroup($"{i + 1}", 50, defective)));

    // The page's limits are 0.0524 and 0.4102, 2.6 and 20.5 chips; wafers 15 and 23 are out, on both kinds of limits.
    [Fact]
    public void Out_Wafers_AreFifteenAndTwentyThree()
    {
        Assert.Equal(0.23133, Nist.MeanShare, 5e-6);
        Assert.Equal(["15", "23"], Nist.Out.Select(g => g.Group.Name));
    }

    // Each limit is the last count that is not too rare, by the terms of the binomial distribution added up here.
    [Fact]
    public void Limits_Wafers_LeaveOutWhatIsRarerThanThreeSigma()
    {
        var wafer = Nist.Groups[0];
        double AtLeast(int k) => Enumerable.Range(k, 51 - k).Sum(Chance);
        Assert.True(AtLeast(wafer.MostUsual) > 0.00135 && AtLeast(wafer.MostUsual + 1) <= 0.00135);
        Assert.True(1 - AtLeast(wafer.FewestUsual + 1) > 0.00135 && 1 - AtLeast(wafer.FewestUsual) <= 0.00135);
    }

    // One defective piece of one is usual at 0.05; of four, three are not: 4 · 0.05³ · 0.95 + 0.05⁴ = 0.00048.
    [Theory]
    [InlineData(1, 1, false)]
    [InlineData(4, 2, false)]
    [InlineData(4, 3, true)]
    public void IsOut_SmallClasses_NeedsMoreThanOneDefect(int pieces, int defective, bool isOut) =>
        Assert.Equal(isOut, PChart.Of([new("class", pieces, defective)], 0.05).Groups[0].IsOut);

    [Fact]
    public void Of_NothingInspected_IsRefused() => Assert.Throws<ArgumentException>(() => PChart.Of([new("class", 0, 0)]));

    private static double Chance(int k)
    {
        var (p, chance) = (Nist.MeanShare, 1.0);
        for (var i = 0; i < 50; i++)
            chance *= i < k ? p * (50 - i) / (k - i) : 1 - p;
        return chance;
    }
}
