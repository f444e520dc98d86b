using MathNet.Numerics;
using MathNet.Numerics.LinearAlgebra;
using MathNet.Numerics.RootFinding;

namespace Pourwright.Evidence.Counts;

/// <summary>What a logistic regression says: a coefficient a column, as ln of an odds ratio per unit of it.</summary>
/// <param name="StandardErrors">From the inverse of the information; intervals of separated data want the profile instead.</param>
/// <param name="LnLikelihood">Penalised: ln L + ½ ln |information|.</param>
public sealed record FirthFit(IReadOnlyList<double> Coefficients, IReadOnlyList<double> StandardErrors, double LnLikelihood);

/// <summary>Logistic regression whose likelihood is penalised by Jeffreys' prior, so that it stays finite where data separate.</summary>
/// <remarks>
/// Firth 1993, and Heinze and Schemper 2002, doi:10.1002/sim.1047: the score of column r is Σ (y − π + h (½ − π)) xᵣ with h the
/// leverages. A lot with nothing but defects separates data; ordinary regression then runs away. Steps are those of Fisher
/// scoring, halved until the likelihood grows.
/// </remarks>
public sealed class FirthLogistic
{
    private const int StepsMax = 500;
    private const double ScoreTolerance = 1e-9;

    // A step that moves a linear predictor farther than this is shortened: e⁵ is already odds of 150.
    private const double LongestMove = 5;

    private readonly double[][] rows;
    private readonly bool[] outcomes;
    private readonly int columns;
    private FirthFit? fit;

    /// <param name="rows">A row a piece: 1 for the constant where one is wanted, then the numbers, best of size about 1.</param>
    /// <param name="outcomes">Defective or not, in the same order.</param>
    /// <exception cref="ArgumentException">No rows, rows of different length, or more or fewer outcomes than rows.</exception>
    public FirthLogistic(IReadOnlyList<double[]> rows, IReadOnlyList<bool> outcomes)
    {
        (this.rows, this.outcomes, columns) = ([.. rows], [.. outcomes], rows.Count == 0 ? 0 : rows[0].Length);
        if (columns == 0 || rows.Count != outcomes.Count || rows.Any(row => row.Length != columns))
            throw new ArgumentException($"{rows.Count} rows of {columns} numbers and {outcomes.Count} outcomes: give one outcome a row and rows of one length.", nameof(rows));
    }

    /// <summary>No column follows from the others, so that each has a coefficient of its own. Ask before Fit.</summary>
    public bool IsDetermined
    {
        get
        {
            var lengths = Enumerable.Range(0, columns).Select(r => Math.Sqrt(rows.Sum(x => x[r] * x[r]))).ToArray();
            return lengths.All(length => length > 0) && Matrix<double>.Build.Dense(columns, columns,
                (r, s) => rows.Sum(x => x[r] * x[s]) / lengths[r] / lengths[s]).Determinant() > 1e-9;
        }
    }

    /// <summary>The coefficients of greatest penalised likelihood.</summary>
    /// <exception cref="NonConvergenceException">None found in five hundred steps, as where a column follows from others.</exception>
    public FirthFit Fit()
    {
        if (fit is not null)
            return fit;
        var top = Climb(new double[columns], Enumerable.Range(0, columns).ToArray());
        return fit = new(top.Coefficients, [.. top.Inverse.Diagonal().Select(Math.Sqrt)], top.LnLikelihood);
    }

    /// <summary>Interval of one coefficient by the profile of the penalised likelihood.</summary>
    public Interval ProfileInterval(int column, double confidence = 0.95)
    {
        var drop = Interval.Deviations(confidence);
        return new(ProfileLimit(column, -1, drop * drop), ProfileLimit(column, +1, drop * drop));
    }

    /// <summary>Chance, 0 to 1, of so large a drop of twice the ln penalised likelihood were this coefficient 0.</summary>
    public double ProfileP(int column) => SpecialFunctions.Erfc(Math.Sqrt(Math.Max(0, Drop(column, 0)) / 2));

    private double ProfileLimit(int column, int side, double drop)
    {
        var (from, step) = (Fit().Coefficients[column], side * Fit().StandardErrors[column]);
        var to = from + 2 * step;
        for (; Drop(column, to) < drop; step *= 2)
            to += step;
        // Beyond what doubles hold the drop is infinite, which a root finder cannot use.
        return Brent.FindRoot(value => Math.Min(Drop(column, value), 100 * drop) - drop, Math.Min(from, to), Math.Max(from, to), 1e-9, 200);
    }

    // The penalty stays that of all columns, as in Heinze and Schemper: the likelihood is profiled, not another model's.
    private double Drop(int column, double value)
    {
        var start = Fit().Coefficients.ToArray();
        start[column] = value;
        return 2 * (Fit().LnLikelihood - Climb(start, [.. Enumerable.Range(0, columns).Where(r => r != column)]).LnLikelihood);
    }

    private Point Climb(double[] start, int[] free)
    {
        var here = new Point(this, start);
        for (var steps = 0; steps < StepsMax; steps++)
        {
            if (free.All(r => Math.Abs(here.Score[r]) < ScoreTolerance))
                return here;
            if (Higher(here, Step(here, free)) is not { } higher)
                return here;
            here = higher;
        }
        throw new NonConvergenceException($"No greatest penalised likelihood within {StepsMax} steps; leave out columns that follow from others.");
    }

    private double[] Step(Point here, int[] free)
    {
        var information = Matrix<double>.Build.Dense(free.Length, free.Length, (r, s) => here.Information[free[r], free[s]]);
        var solved = information.Solve(Vector<double>.Build.Dense(free.Length, r => here.Score[free[r]]));
        var step = new double[columns];
        for (var r = 0; r < free.Length; r++)
            step[free[r]] = solved[r];
        var move = rows.Max(x => Math.Abs(Predictor(x, step)));
        return move <= LongestMove ? step : [.. step.Select(s => s * LongestMove / move)];
    }

    // Null where no shorter step climbs any more: then it is the top but for rounding.
    private Point? Higher(Point here, double[] step)
    {
        for (var share = 1.0; share > 1e-7; share /= 2)
        {
            var there = new Point(this, [.. here.Coefficients.Select((b, r) => b + share * step[r])]);
            if (there.LnLikelihood > here.LnLikelihood)
                return there;
        }
        return null;
    }

    private static double Predictor(double[] row, double[] coefficients)
    {
        var sum = 0.0;
        for (var r = 0; r < row.Length; r++)
            sum += row[r] * coefficients[r];
        return sum;
    }

    private sealed class Point
    {
        public Point(FirthLogistic model, double[] coefficients)
        {
            (Coefficients, Score) = (coefficients, new double[model.columns]);
            var shares = model.rows.Select(x => 1 / (1 + Math.Exp(-Predictor(x, coefficients)))).ToArray();
            Information = Matrix<double>.Build.DenseOfArray(Weighed(model.rows, shares, model.columns));
            Inverse = Information.Inverse();
            LnLikelihood = 0.5 * Math.Log(Information.Determinant());
            for (var i = 0; i < shares.Length; i++)
                Add(model.rows[i], model.outcomes[i], shares[i]);
            if (double.IsNaN(LnLikelihood))
                LnLikelihood = double.NegativeInfinity;
        }

        public double[] Coefficients { get; }
        public double LnLikelihood { get; private set; }
        public Matrix<double> Information { get; }
        public Matrix<double> Inverse { get; }
        public double[] Score { get; }

        // Σ π(1 − π) x xᵀ
        private static double[,] Weighed(double[][] rows, double[] shares, int columns)
        {
            var sums = new double[columns, columns];
            for (var i = 0; i < rows.Length; i++)
                for (var r = 0; r < columns; r++)
                    for (var s = 0; s < columns; s++)
                        sums[r, s] += shares[i] * (1 - shares[i]) * rows[i][r] * rows[i][s];
            return sums;
        }

        private void Add(double[] row, bool defective, double share)
        {
            LnLikelihood += Math.Log(defective ? share : 1 - share);
            var change = (defective ? 1 : 0) - share + share * (1 - share) * Spread(row) * (0.5 - share);
            for (var r = 0; r < row.Length; r++)
                Score[r] += change * row[r];
        }

        // xᵀ I⁻¹ x
        private double Spread(double[] row)
        {
            var sum = 0.0;
            for (var r = 0; r < row.Length; r++)
                for (var s = 0; s < row.Length; s++)
                    sum += row[r] * Inverse[r, s] * row[s];
            return sum;
        }
    }
}
