namespace Pourwright.Evidence.Counts;

/// <summary>Ratios of two shares with intervals that are normal in their logarithm.</summary>
/// <remarks>
/// Risk ratio: var ln = 1/a − 1/(a+b) + 1/c − 1/(c+d) (Katz and others 1978; from memory). Odds ratio: 1/a + 1/b + 1/c + 1/d
/// (Woolf 1955; from memory). Where a cell is empty ½ is added to all four (Haldane 1955; from memory).
/// </remarks>
public static class Ratios
{
    /// <summary>Share of defective pieces with it over the share without it.</summary>
    public static RatioEstimate Risk(TwoByTwo table, double confidence = 0.95)
    {
        var (a, b, c, d) = Cells(table);
        return Estimate(a / (a + b) / (c / (c + d)), 1 / a - 1 / (a + b) + 1 / c - 1 / (c + d), confidence);
    }

    /// <summary>Odds of a defect with it over the odds without it.</summary>
    public static RatioEstimate Odds(TwoByTwo table, double confidence = 0.95)
    {
        var (a, b, c, d) = Cells(table);
        return Estimate(a * d / (b * c), 1 / a + 1 / b + 1 / c + 1 / d, confidence);
    }

    private static (double A, double B, double C, double D) Cells(TwoByTwo table)
    {
        var (a, b, c, d) = table;
        var added = a == 0 || b == 0 || c == 0 || d == 0 ? 0.5 : 0;
        return (a + added, b + added, c + added, d + added);
    }

    private static RatioEstimate Estimate(double ratio, double variance, double confidence)
    {
        var factor = Math.Exp(Interval.Deviations(confidence) * Math.Sqrt(variance));
        return new(ratio, new(ratio / factor, ratio * factor));
    }
}
