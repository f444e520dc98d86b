using CsCheck;
using Pourwright.Evidence.Counts;

namespace Pourwright.Evidence.Tests.Counts;

public sealed class BenjaminiHochbergTests
{
    // Benjamini and Hochberg 1995, 15 p values, as in the SciPy manual.
    private static readonly double[] Published =
        [0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344, 0.0459, 0.3240, 0.4262, 0.5719, 0.6528, 0.7590, 1.0];

    [Fact]
    public void Adjust_PublishedExample_RejectsFour()
    {
        var adjusted = BenjaminiHochberg.Adjust(Published);
        Assert.Equal(4, adjusted.Count(p => p <= 0.05));
        // 15/1 · 0.0001, 15/2 · 0.0004, 15/3 · 0.0019, 15/4 · 0.0095, 15/5 · 0.0201
        Assert.Equal([0.0015, 0.003, 0.0095, 0.035625, 0.0603], adjusted.Take(5).Select(p => Math.Round(p, 10)));
        // 15/6 · 0.0278 = 0.0695 is more than 15/7 · 0.0298 = 0.063857, so both have the latter.
        Assert.Equal([0.063857142857, 0.063857142857, 0.0645, 0.0765], adjusted.Skip(5).Take(4).Select(p => Math.Round(p, 12)));
    }

    [Fact]
    public void Adjust_AnyOrder_GivesEachItsOwn() => Gen.Shuffle(Published).Sample(shuffled =>
    {
        var (adjusted, sorted) = (BenjaminiHochberg.Adjust(shuffled), BenjaminiHochberg.Adjust(Published));
        Assert.All(shuffled.Zip(adjusted), pair => Assert.Equal(sorted[Array.IndexOf(Published, pair.First)], pair.Second));
    }, iter: 50);

    [Fact]
    public void Adjust_NothingTested_IsEmpty() => Assert.Empty(BenjaminiHochberg.Adjust([]));
}
