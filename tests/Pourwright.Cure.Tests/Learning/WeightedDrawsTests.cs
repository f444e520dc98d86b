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

    // Two thousand draws on a line: y = 1 − x, up to a tenth; the heavier the greater x. Resampled, they have equal weights, moved
    // values, and the same means, variances and covariance: to 0.05, about three spreads of a mean of 600 effective draws.
    [Fact]
    public void Resampled_Draws_KeepMeansVariancesAndTies()
    {
        var random = new Random(1);
        double[] x = [.. Enumerable.Range(0, 2000).Select(_ => Math.Sqrt(12) * (random.NextDouble() - 0.5))];
        double[] y = [.. x.Select(v => 1 - v + 0.1 * random.NextDouble())];
        double[] weights = [.. x.Select(v => Math.Exp(v))];
        var draws = new WeightedDraws
        {
            Weights = [.. weights.Select(w => w / weights.Sum())],
            Scores = new Dictionary<string, IReadOnlyList<double>> { ["x"] = x, ["y"] = y },
        };
        var after = draws.Resampled(7);
        Assert.Equal(2000, after.EffectiveByWeight, 1e-6);
        Assert.Equal(draws.Effective, after.Effective, 1e-6);
        Assert.Equal(draws.Mean("x"), after.Mean("x"), 0.05);
        Assert.Equal(draws.Variance("x"), after.Variance("x"), 0.05);
        Assert.Equal(SumVariance(draws), SumVariance(after), 0.0005);
        Assert.True(after.Scores["x"].Distinct().Count() > 1900);
        Assert.Empty(after.Scores["x"].Intersect(x));
        Assert.Equal(after.Scores["x"], draws.Resampled(7).Scores["x"]);
    }

    // The k-th of four equal draws stands at k/5: 0.2, 0.4, 0.6, 0.8. So 0.5 lies half way from the second to the third, and what
    // lies outside is the outermost.
    [Theory]
    [InlineData(0.2, 10)]
    [InlineData(0.5, 25)]
    [InlineData(0.8, 40)]
    [InlineData(0.05, 10)]
    [InlineData(0.95, 40)]
    public void Quantiles_OfFourEqualDraws_StandAtFifths(double share, double value) =>
        Assert.Equal(value, new WeightedQuantiles([30, 10, 40, 20], [0.25, 0.25, 0.25, 0.25], 4)[share], 1e-9);

    // Weights 0.1 and 0.9 worth a thousand: middles at 0.05 and 0.55, up to a thousandth. Half way between, half of each.
    [Fact]
    public void Quantiles_OfUnequalWeights_StandAtTheirMiddles() =>
        Assert.Equal(1.5, new WeightedQuantiles([1, 2], [0.1, 0.9], 1000)[0.30], 0.005);

    [Fact]
    public void Quantiles_NextToNever_AreNever()
    {
        var gate = new WeightedQuantiles([20, 30, 40, double.PositiveInfinity], [0.25, 0.25, 0.25, 0.25], 4).Gate;
        Assert.Equal(new GateTimes(20, 35, null), gate with { LikelyHours = Math.Round(gate.LikelyHours!.Value, 9) });
    }

    private static double SumVariance(WeightedDraws draws)
    {
        IReadOnlyList<double> sum = [.. draws.Scores["x"].Zip(draws.Scores["y"], (x, y) => x + y)];
        return (draws with { Scores = Scores(sum) }).Variance("x");
    }

    private static Dictionary<string, IReadOnlyList<double>> Scores(IReadOnlyList<double> x) => new() { ["x"] = x };
}
