namespace Pourwright.Cure.DataSheets;

/// <summary>Finds the two figures of a sheet that cannot both be true of one resin.</summary>
/// <remarks>
/// S_A is the least cost of fitting the figures A alone together with the prior. Two sets disagree by D = S_(A and B) −
/// max(S_A, S_B): each fits with the prior, both together do not. A figure contradicts the rest when D of it and all others
/// passes 3² (three spreads); named beside it is the one figure with which, the two alone, it disagrees most. Where a sheet has
/// no third figure, either of the two may be the wrong one; else it is the one whose removal lets the rest fit.
/// One figure far from the literature contradicts nobody: its own S is as large. Nor does a sheet that is quick or slow as a
/// whole: for this question alone the spread of the rate scale is five times wider (our choice).
/// S_A comes from the model made linear about the fit: with d = r − J u the misfits at the prior, S_A = d_Aᵀ (I + J_A J_Aᵀ)⁻¹
/// d_A. That is exact where the model is a line, and near enough to say who disagrees.
/// </remarks>
internal sealed class Disagreement
{
    private const double MostSpreads = 3;
    private const double RateScaleFreedom = 5;

    private readonly double[][] slopes;
    private readonly double[] atPrior;
    private readonly int[] owners;

    private Disagreement(SheetFit fit, int[] owners)
    {
        (slopes, this.owners) = (fit.Slopes, owners);
        atPrior = [.. fit.Misfits.Select((r, i) => r - Dot(slopes[i], fit.U))];
    }

    /// <summary>The two figures, and by how many spreads the two alone disagree; null when the sheet holds together.</summary>
    /// <param name="fit">The fit of all misfits.</param>
    /// <param name="owners">The figure to which each misfit belongs, by its place on the sheet.</param>
    public static (int First, int Second, double Spreads)? Of(SheetFit fit, int[] owners)
    {
        var sheet = new Disagreement(fit, owners);
        int[] all = [.. owners.Distinct()];
        var pairs =
            from one in all
            where sheet.Spreads([one], [.. all.Where(i => i != one)]) > MostSpreads
            from other in all
            where other != one
            select (First: Math.Min(one, other), Second: Math.Max(one, other), Spreads: sheet.Spreads([one], [other]));
        return pairs.OrderByDescending(p => p.Spreads).Select(p => ((int, int, double)?)p).FirstOrDefault();
    }

    // √D; a rounding below zero counts as none.
    private double Spreads(int[] some, int[] others) =>
        Math.Sqrt(Math.Max(0, Cost([.. some, .. others]) - Math.Max(Cost(some), Cost(others))));

    private double Cost(int[] figures)
    {
        int[] of = [.. Enumerable.Range(0, owners.Length).Where(i => figures.Contains(owners[i]))];
        var covariance = new SymmetricSystem(of.Length, (i, k) => (i == k ? 1 : 0) + Covariance(slopes[of[i]], slopes[of[k]]));
        return covariance.InverseForm([.. of.Select(i => atPrior[i])]);
    }

    private static double Dot(double[] a, double[] b) => a.Zip(b, (x, y) => x * y).Sum();

    // u_0 is the rate scale: slopes by it grow with its spread.
    private static double Covariance(double[] a, double[] b) =>
        Dot(a, b) + (RateScaleFreedom * RateScaleFreedom - 1) * a[0] * b[0];
}
