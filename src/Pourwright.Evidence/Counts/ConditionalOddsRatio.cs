using MathNet.Numerics;
using MathNet.Numerics.RootFinding;

namespace Pourwright.Evidence.Counts;

/// <summary>Odds of a defect with it over those without it, given the sums of rows and columns.</summary>
/// <remarks>
/// The count of the first cell weighs C(with, k) C(without, defective − k) ωᵏ (Fisher's noncentral hypergeometric
/// distribution). The estimate is the ω whose mean is the count seen, the limits those that leave a stated tail beyond it
/// (Cornfield 1956; from memory).
/// </remarks>
public static class ConditionalOddsRatio
{
    // e^±80 lies beyond what any count of pieces that fits a studio can estimate.
    private const double LnWidest = 80;

    /// <summary>The ratio of greatest conditional likelihood; 0 or infinite where the count is as small or as large as it can be.</summary>
    public static double Estimate(TwoByTwo table)
    {
        var (least, most) = Bounds(table);
        if (table.DefectiveWith == least)
            return least == most ? double.NaN : 0;
        return table.DefectiveWith == most ? double.PositiveInfinity : Root(lnRatio => Mean(table, lnRatio) - table.DefectiveWith);
    }

    /// <summary>The interval of the true ratio, two-sided.</summary>
    public static Interval Interval(TwoByTwo table, double confidence = 0.95)
    {
        var tail = Counts.Interval.Tail(confidence);
        return new(LowerLimit(table, tail), UpperLimit(table, tail));
    }

    /// <summary>The ratio at which so many defective pieces with it, or more, have this chance.</summary>
    public static double LowerLimit(TwoByTwo table, double tail) => table.DefectiveWith == Bounds(table).Least
        ? 0
        : Root(lnRatio => Share(table, lnRatio, k => k >= table.DefectiveWith) - tail);

    /// <summary>The ratio at which so many defective pieces with it, or fewer, have this chance.</summary>
    public static double UpperLimit(TwoByTwo table, double tail) => table.DefectiveWith == Bounds(table).Most
        ? double.PositiveInfinity
        : Root(lnRatio => Share(table, lnRatio, k => k <= table.DefectiveWith) - tail);

    private static (int Least, int Most) Bounds(TwoByTwo table) =>
        (Math.Max(0, table.Defective - table.Without), Math.Min(table.With, table.Defective));

    private static double Root(Func<double, double> f) => Math.Exp(Brent.FindRoot(f, -LnWidest, LnWidest, 1e-13, 500));

    private static double Mean(TwoByTwo table, double lnRatio) => Sums(table, lnRatio, k => k);

    private static double Share(TwoByTwo table, double lnRatio, Func<int, bool> counted) => Sums(table, lnRatio, k => counted(k) ? 1 : 0);

    // Weights are taken relative to the greatest, or large tables would overflow.
    private static double Sums(TwoByTwo table, double lnRatio, Func<int, double> of)
    {
        var (least, most) = Bounds(table);
        var ln = Enumerable.Range(least, most - least + 1)
            .Select(k => (K: k, Ln: SpecialFunctions.BinomialLn(table.With, k) + SpecialFunctions.BinomialLn(table.Without, table.Defective - k) + k * lnRatio))
            .ToArray();
        var greatest = ln.Max(term => term.Ln);
        var (sum, all) = (0.0, 0.0);
        foreach (var (k, value) in ln)
        {
            var weight = Math.Exp(value - greatest);
            (sum, all) = (sum + weight * of(k), all + weight);
        }
        return sum / all;
    }
}
