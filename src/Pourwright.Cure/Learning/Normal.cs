namespace Pourwright.Cure.Learning;

/// <summary>The standard normal distribution.</summary>
public static class Normal
{
    private const double SeriesTo = 3;
    private const int Terms = 60;

    /// <summary>Φ(x), the probability of a standard normal value below x, without unit.</summary>
    /// <remarks>
    /// Near the middle the power series Φ(x) = ½ + φ(x) (x + x³/3 + x⁵/(3·5) + …), in the tails the continued fraction
    /// 1 − Φ(x) = φ(x)/(x + 1/(x + 2/(x + 3/(x + …)))) [AbramowitzStegun1964] (26.2.11, 26.2.14). Twelve digits, also of a
    /// tiny tail: what matters to a likelihood is its logarithm.
    /// </remarks>
    public static double Cdf(double x) => x switch
    {
        < -SeriesTo => Tail(-x),
        > SeriesTo => 1 - Tail(x),
        _ => 0.5 + Density(x) * Series(x),
    };

    /// <summary>φ(x) = exp(−x²/2)/√(2π), without unit.</summary>
    public static double Density(double x) => Math.Exp(-x * x / 2) / Math.Sqrt(2 * Math.PI);

    private static double Series(double x)
    {
        var (sum, term) = (x, x);
        for (var i = 3; Math.Abs(term) > 1e-18; i += 2)
            sum += term *= x * x / i;
        return sum;
    }

    private static double Tail(double x)
    {
        if (double.IsPositiveInfinity(x))
            return 0;
        var below = x;
        for (var i = Terms; i > 0; i--)
            below = x + i / below;
        return Density(x) / below;
    }
}
