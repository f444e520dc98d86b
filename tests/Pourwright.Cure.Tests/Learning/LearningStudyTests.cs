using Xunit.Abstractions;

namespace Pourwright.Cure.Tests.Learning;

/// <summary>Whether intervals hold what they promise, on invented castings whose truth is known.</summary>
public class LearningStudyTests(ITestOutputHelper output)
{
    // Sixty castings, one each of sixty studios, so independent. Were the promise kept, the count inside 5 to 95 % is binomial with
    // p = 0.90: mean 54, spread √(60 · 0.9 · 0.1) = 2.32; three spreads down is 47. Not later than 95 %: mean 57, spread
    // √(60 · 0.95 · 0.05) = 1.69; three spreads down is 51.9. Upward, all sixty: a tenth of honest studies of p = 0.95 have that, so
    // width is held against the forecast before any check. The benchmark asks more of many more.
    [Fact]
    public void Intervals_OfSixtyCastings_HoldTheTruthAsOftenAsTheyPromise()
    {
        var studios = ParallelEnumerable.Range(1, 60).AsOrdered().Select(seed => LearningStudy.Studio(seed, 1, 500)).ToArray();
        var sum = studios.Aggregate((a, b) => a + b);
        output.WriteLine($"{sum}");
        Assert.Equal(60, sum.Demold.Pieces);
        Assert.All(new[] { sum.DemoldBefore, sum.Demold, sum.Handle, sum.Gel }, coverage =>
        {
            Assert.InRange(coverage.Inside, 47, 60);
            Assert.InRange(coverage.NotLate, 52, 60);
        });
        Assert.True(sum.Width < sum.WidthBefore / 2);
    }
}
