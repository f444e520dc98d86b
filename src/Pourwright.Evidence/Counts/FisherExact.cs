using static MathNet.Numerics.SpecialFunctions;

namespace Pourwright.Evidence.Counts;

/// <summary>The exact test of two shares by R. A. Fisher (The Design of Experiments, 1935; from memory), one-sided.</summary>
/// <remarks>
/// With the sums of rows and columns as they are, the number of defective pieces with it is hypergeometric:
/// P(k) = C(with, k) C(without, defective − k) / C(pieces, defective). The outer tail is summed from its first term by ratios
/// of neighbours, so that it is right to about 13 digits however small it is; its logarithm holds where it underflows.
/// </remarks>
public static class FisherExact
{
    /// <summary>ln of the chance that at least so many defective pieces would fall on the side with it.</summary>
    public static double LnGreater(TwoByTwo table)
    {
        if (table.DefectiveWith <= Math.Max(0, table.Defective - table.Without))
            return 0;
        var mean = (double)table.With * table.Defective / table.Pieces;
        return table.DefectiveWith > mean ? LnUpper(table, table.DefectiveWith) : Complement(LnLower(table, table.DefectiveWith - 1));
    }

    /// <summary>Chance, 0 to 1, that at least so many defective pieces would fall on the side with it.</summary>
    public static double Greater(TwoByTwo table) => Math.Exp(LnGreater(table));

    /// <summary>Chance, 0 to 1, that at most so many defective pieces would fall on the side with it.</summary>
    public static double Less(TwoByTwo table) => Greater(table.Mirrored);

    private static double LnPoint(TwoByTwo table, int k) =>
        BinomialLn(table.With, k) + BinomialLn(table.Without, table.Defective - k) - BinomialLn(table.Pieces, table.Defective);

    private static double LnUpper(TwoByTwo table, int k)
    {
        var (from, term, sum) = (LnPoint(table, k), 1.0, 1.0);
        for (; k < Math.Min(table.With, table.Defective); k++)
            sum += term *= (double)(table.With - k) / (k + 1) * (table.Defective - k) / (table.Without - table.Defective + k + 1);
        return from + Math.Log(sum);
    }

    private static double LnLower(TwoByTwo table, int k)
    {
        var (from, term, sum) = (LnPoint(table, k), 1.0, 1.0);
        for (; k > Math.Max(0, table.Defective - table.Without); k--)
            sum += term *= (double)k / (table.With - k + 1) * (table.Without - table.Defective + k) / (table.Defective - k + 1);
        return from + Math.Log(sum);
    }

    private static double Complement(double lnP) => Math.Log(1 - Math.Exp(lnP));
}
