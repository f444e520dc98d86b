using Pourwright.Cure.Learning;

namespace Pourwright.Cure.Tests.Learning;

public class NormalTests
{
    // Φ from the usual table (Abramowitz and Stegun, table 26.1; from memory): 1.959963985 is its 97.5 % point.
    [Theory]
    [InlineData(0, 0.5)]
    [InlineData(1, 0.841344746068543)]
    [InlineData(1.959963984540054, 0.975)]
    [InlineData(2, 0.977249868051821)]
    [InlineData(3, 0.998650101968370)]
    [InlineData(4, 0.999968328758167)]
    public void Cdf_OfTheTable_IsThatOfTheTable(double x, double share)
    {
        Assert.Equal(share, Normal.Cdf(x), 1e-12);
        Assert.Equal(1 - share, Normal.Cdf(-x), 1e-12);
    }

    // Series and continued fraction meet at 3: no step there, to ten digits of the tail.
    [Fact]
    public void Cdf_WhereTheTwoFormulasMeet_IsOneCurve()
    {
        var (inside, outside) = (Normal.Cdf(-3 + 1e-12), Normal.Cdf(-3 - 1e-12));
        Assert.Equal(1, outside / inside, 1e-10);
    }

    // Mills: φ(x)/x · (1 − 1/x²) < 1 − Φ(x) < φ(x)/x, at any distance.
    [Theory]
    [InlineData(5)]
    [InlineData(10)]
    [InlineData(30)]
    public void Cdf_FarOut_StaysBetweenMillsBounds(double x)
    {
        var most = Math.Exp(-x * x / 2) / Math.Sqrt(2 * Math.PI) / x;
        Assert.InRange(Normal.Cdf(-x), most * (1 - 1 / (x * x)), most);
    }

    [Fact]
    public void Cdf_AtTheEnds_IsZeroAndOne()
    {
        Assert.Equal(0, Normal.Cdf(double.NegativeInfinity));
        Assert.Equal(1, Normal.Cdf(double.PositiveInfinity));
    }
}
