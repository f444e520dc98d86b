using MathNet.Numerics;

namespace Pourwright.Evidence.Counts;

/// <summary>One odds ratio common to several tables, such as one a site, so that sites are compared with themselves only.</summary>
/// <param name="OddsRatio">0 or infinite where no table speaks for the other side; not a number without an informative table.</param>
/// <param name="Interval">Of the true ratio; null where one side alone speaks, since its variance is then unknown.</param>
/// <param name="ChiSquare">Of one degree of freedom, with ½ taken off for continuity.</param>
/// <param name="P">Two-sided, 0 to 1.</param>
/// <param name="InformativeTables">Tables with pieces on both sides and of both outcomes; the others say nothing.</param>
public sealed record MantelHaenszel(double OddsRatio, Interval? Interval, double ChiSquare, double P, int InformativeTables)
{
    /// <remarks>
    /// OR = Σ(ad/n) / Σ(bc/n); χ² = (|Σ(a − E a)| − ½)² / Σ var a (Mantel and Haenszel 1959; from memory); variance of ln OR by
    /// Robins, Breslow and Greenland 1986 (from memory).
    /// </remarks>
    public static MantelHaenszel Of(IEnumerable<TwoByTwo> tables, double confidence = 0.95)
    {
        var informative = tables.Where(t => t.IsInformative).ToArray();
        if (informative.Length == 0)
            return new(double.NaN, null, 0, 1, 0);
        var (excess, variance) = (informative.Sum(Excess), informative.Sum(Variance));
        var chiSquare = Square(Math.Max(0, Math.Abs(excess) - 0.5)) / variance;
        var (ratio, interval) = Common(informative, confidence);
        return new(ratio, interval, chiSquare, SpecialFunctions.Erfc(Math.Sqrt(chiSquare / 2)), informative.Length);
    }

    private static (double, Interval?) Common(TwoByTwo[] tables, double confidence)
    {
        double r = tables.Sum(Along), s = tables.Sum(Across);
        if (r == 0 || s == 0)
            return (r / s, null);
        var variance = tables.Sum(t => Share(t) * Along(t)) / (2 * r * r)
            + tables.Sum(t => Share(t) * Across(t) + (1 - Share(t)) * Along(t)) / (2 * r * s)
            + tables.Sum(t => (1 - Share(t)) * Across(t)) / (2 * s * s);
        var factor = Math.Exp(Counts.Interval.Deviations(confidence) * Math.Sqrt(variance));
        return (r / s, new(r / s / factor, r / s * factor));
    }

    private static double Along(TwoByTwo t) => (double)t.DefectiveWith * t.FineWithout / t.Pieces;

    private static double Across(TwoByTwo t) => (double)t.FineWith * t.DefectiveWithout / t.Pieces;

    private static double Share(TwoByTwo t) => (double)(t.DefectiveWith + t.FineWithout) / t.Pieces;

    private static double Excess(TwoByTwo t) => t.DefectiveWith - (double)t.With * t.Defective / t.Pieces;

    private static double Variance(TwoByTwo t) =>
        (double)t.With * t.Without * t.Defective * t.Fine / ((double)t.Pieces * t.Pieces * (t.Pieces - 1));

    private static double Square(double x) => x * x;
}
