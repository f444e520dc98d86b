namespace Pourwright.Cure.Climate;

/// <summary>Least value of a function of a positive number.</summary>
internal static class Minimum
{
    private const int GridSteps = 24;
    private const double WithinLn = 1e-4;
    private static readonly double Golden = (Math.Sqrt(5) - 1) / 2;

    /// <summary>Where it is least between two limits: on an even grid of its logarithm, then by golden section [Kiefer1953] about the best.</summary>
    public static double Of(Func<double, double> function, double low, double high)
    {
        var step = Math.Log(high / low) / GridSteps;
        double At(double k) => low * Math.Exp(k * step);
        var best = Enumerable.Range(0, GridSteps + 1).MinBy(k => function(At(k)));
        var (from, to) = (Math.Max(best - 1.0, 0), Math.Min(best + 1.0, GridSteps));
        while ((to - from) * step > WithinLn)
        {
            var (left, right) = (to - Golden * (to - from), from + Golden * (to - from));
            (from, to) = function(At(left)) <= function(At(right)) ? (from, right) : (left, to);
        }
        return At((from + to) / 2);
    }
}
