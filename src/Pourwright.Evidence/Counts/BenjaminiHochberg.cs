namespace Pourwright.Evidence.Counts;

/// <summary>Many tests at once: how many of those called out may be false (Benjamini and Hochberg 1995).</summary>
public static class BenjaminiHochberg
{
    /// <summary>Adjusted p, in the order given: calling out all up to q keeps the expected share of false ones at q.</summary>
    /// <remarks>min over j ≥ rank of p(j) m / j, at most 1. Weights of mean 1 may divide the p values beforehand (Genovese, Roeder and Wasserman 2006; from memory).</remarks>
    public static double[] Adjust(IReadOnlyList<double> p)
    {
        var adjusted = new double[p.Count];
        var (least, rank) = (1.0, p.Count);
        foreach (var i in Enumerable.Range(0, p.Count).OrderByDescending(i => p[i]))
            adjusted[i] = least = Math.Min(least, p[i] * p.Count / rank--);
        return adjusted;
    }
}
