namespace Pourwright.Cure.DataSheets;

/// <summary>The candidate that lies nearest to the figures and to the prior at once, and how well it is known.</summary>
/// <remarks>
/// Makes S(u) = Σ r_i(u)² + Σ u_j² least, with r_i the misfit of figure i in its spreads and u_j the distance of parameter j from
/// its median in spreads; by Gauss and Newton with the damping of [Levenberg1944] and [Marquardt1963], slopes by central
/// differences. Covariance after Laplace: (I + JᵀJ)⁻¹ in u, which is (JᵀS⁻¹J + T⁻¹)⁻¹ in the parameters themselves; there the
/// slopes along Tg∞ are taken over one spread either way, because a time of full cure has a cusp where Tg∞ = T + 18 K: it falls
/// on both sides, and a slope at one point would claim to know the side.
/// A fit ends: at most 40 rounds, each of at most 8 trials, inside ±3.5 spreads.
/// </remarks>
internal sealed class SheetFit
{
    private const int MostRounds = 40;
    private const int MostTrials = 8;
    private const double Difference = 0.05;
    private const double SmallGain = 1e-4;

    private readonly SheetPrior prior;
    private readonly SheetFigure[] figures;
    private Trial best;
    private double damping = 1e-2;

    public SheetFit(SheetPrior prior, SheetFigure[] figures)
    {
        (this.prior, this.figures) = (prior, figures);
        best = Tried(new double[SheetPrior.Parameters]);
        Slopes = SlopesAt(best.U, Difference);
        for (var round = 0; round < MostRounds && figures.Length > 0 && !IsSettled; round++)
        {
            IsSettled = !Improved();
            Slopes = SlopesAt(best.U, Difference);
        }
        IsSettled |= figures.Length == 0;
        Slopes = SlopesAt(best.U, alongGlass: 1);
        Information = new(SheetPrior.Parameters, (j, k) => Curvature(j, k, 0));
    }

    /// <summary>Distances from the median, in spreads.</summary>
    public double[] U => best.U;

    /// <summary>What the candidate says in place of each figure, in its unit.</summary>
    public double[] Modelled => best.Modelled;

    /// <summary>Misfit of each figure, in its spreads.</summary>
    public double[] Misfits => best.Misfits;

    /// <summary>∂r_i/∂u_j at the candidate.</summary>
    public double[][] Slopes { get; private set; }

    /// <summary>Whether the rounds ended because nothing moved any more.</summary>
    public bool IsSettled { get; private set; }

    /// <summary>I + JᵀJ, factorised.</summary>
    private SymmetricSystem Information { get; }

    /// <summary>Standard deviation, after the fit, of Σ weight_j u_j.</summary>
    public double Deviation(double[] weights) => Math.Sqrt(Information.InverseForm(weights));

    /// <summary>Standard deviation, after the fit, of a quantity of the candidate: its slopes are the weights.</summary>
    public double Deviation(Func<Candidate, double> quantity) =>
        Deviation(SlopesOf(u => [quantity(prior.At(u))], 1, U, alongGlass: 1).Single());

    // One damped step; false when none leads lower by anything that matters.
    private bool Improved()
    {
        double[] uphill = [.. U.Select((u, j) => -u - Enumerable.Range(0, figures.Length).Sum(i => Misfits[i] * Slopes[i][j]))];
        for (var trial = 0; trial < MostTrials; trial++)
        {
            var step = new SymmetricSystem(SheetPrior.Parameters, (j, k) => Curvature(j, k, damping)).Solve(uphill);
            var tried = Tried([.. U.Select((u, j) => Math.Clamp(u + step[j], -SheetPrior.MostSpreads, SheetPrior.MostSpreads))]);
            if (tried.Cost < best.Cost)
            {
                var gained = best.Cost - tried.Cost;
                (best, damping) = (tried, damping / 5);
                return gained > SmallGain;
            }
            damping *= 5;
        }
        return false;
    }

    private double Curvature(int j, int k, double damp) =>
        (j == k ? 1 + damp : 0) + Slopes.Sum(slope => slope[j] * slope[k]);

    private double[][] SlopesAt(double[] at, double alongGlass) =>
        SlopesOf(u => Tried(u).Misfits, figures.Length, at, alongGlass);

    private static double[][] SlopesOf(Func<double[], double[]> values, int count, double[] at, double alongGlass)
    {
        var slopes = Enumerable.Range(0, count).Select(_ => new double[SheetPrior.Parameters]).ToArray();
        for (var j = 0; j < SheetPrior.Parameters; j++)
        {
            var by = j == SheetPrior.FinalGlass ? alongGlass : Difference;
            double[] Beside(double away) => values([.. at.Select((u, k) => k == j ? u + away : u)]);
            var (more, less) = (Beside(by), Beside(-by));
            for (var i = 0; i < count; i++)
                slopes[i][j] = (more[i] - less[i]) / (2 * by);
        }
        return slopes;
    }

    private Trial Tried(double[] u)
    {
        var candidate = prior.At(u);
        double[] modelled = [.. figures.Select(f => f.Modelled(candidate))];
        return new(u, modelled, [.. figures.Zip(modelled, (figure, says) => figure.Misfit(says))]);
    }

    private sealed record Trial(double[] U, double[] Modelled, double[] Misfits)
    {
        public double Cost { get; } = Misfits.Sum(r => r * r) + U.Sum(u => u * u);
    }
}
