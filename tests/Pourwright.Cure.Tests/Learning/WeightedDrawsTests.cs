using Pourwright.Cure.Learning;
using Pourwright.Cure.Readiness;

namespace Pourwright.Cure.Tests.Learning;

public class WeightedDrawsTests
{
    // Two draws at 1:3 are worth 1/(0.25² + 0.75²) = 1.6 equal ones.
    [Fact]
    public void Effective_OfTwoDraws_IsOneOverTheSumOfSquares() =>
        Assert.Equal(1.6, new WeightedDraws { Weights = [0.25, 0.75], Scores = Scores([0, 1]) }.Effective, 1e-12);

    [Fact]
    public void Share_OfAnEffect_IsTheWeightOfItsDraws()
    {
        var draws = new WeightedDraws { Weights = [0.2, 0.5, 0.3], Scores = Scores([-1, 0, 2]) };
        Assert.Equal(0.4, draws.Mean("x"), 1e-12);
        Assert.Equal(0.8, draws.Share("x", x => x >= 0), 1e-12);
    }

    private static Dictionary<string, IReadOnlyList<double>> Scores(IReadOnlyList<double> x) => new() { ["x"] = x };
}
