using Pourwright.Evidence.Counts;

namespace Pourwright.Evidence.Tests.Counts;

public sealed class FirthLogisticTests
{
    // Without numbers the penalised likelihood is π^(s+½)(1 − π)^(n−s+½): π = (s + ½)/(n + 1).
    [Theory]
    [InlineData(0, 6)]
    [InlineData(2, 9)]
    [InlineData(7, 7)]
    public void Fit_ConstantOnly_IsHalfAPieceMoreOfEach(int defective, int pieces)
    {
        var fit = new FirthLogistic([.. Enumerable.Repeat<double[]>([1], pieces)], [.. Enumerable.Range(0, pieces).Select(i => i < defective)]).Fit();
        Assert.Equal(Math.Log((defective + 0.5) / (pieces - defective + 0.5)), fit.Coefficients[0], 1e-7);
    }

    // A model as rich as its table: half a piece more in each cell, also where ordinary regression would run away.
    [Theory]
    [InlineData(4, 2, 1, 9)]
    [InlineData(11, 3, 3, 117)]
    [InlineData(6, 0, 0, 8)]
    [InlineData(5, 0, 2, 40)]
    public void Fit_OneLot_IsHalfAPieceMoreInEachCell(int a, int b, int c, int d)
    {
        var fit = Of(new(a, b, c, d)).Fit();
        Assert.Equal(Math.Log((c + 0.5) / (d + 0.5)), fit.Coefficients[0], 1e-6);
        Assert.Equal(Math.Log((a + 0.5) * (d + 0.5) / ((b + 0.5) * (c + 0.5))), fit.Coefficients[1], 1e-6);
        // var of the lot's coefficient is 1/(n π(1 − π)) of both sides together, π as fitted.
        double pi = (a + 0.5) / (a + b + 1), rho = (c + 0.5) / (c + d + 1);
        Assert.Equal(Math.Sqrt(1 / ((a + b) * pi * (1 - pi)) + 1 / ((c + d) * rho * (1 - rho))), fit.StandardErrors[1], 1e-6);
    }

    // Separated: defects from 3 on, none below. Ordinary regression has no answer; the penalised one is found here by brute
    // force, a golden section inside a golden section over ln L + ½ ln |information| of two columns.
    private static readonly double[] X = [0, 1, 1.5, 2, 3, 3.5, 4, 6];
    private static readonly bool[] Y = [false, false, false, false, true, true, true, true];

    [Fact]
    public void Fit_SeparatedNumbers_IsTheGreatestPenalisedLikelihood()
    {
        var slope = Greatest(Profile, -5, 10);
        var constant = Greatest(a => LnPenalised(a, slope), -20, 20);
        var fit = Separated().Fit();
        Assert.Equal(slope, fit.Coefficients[1], 1e-5);
        Assert.Equal(constant, fit.Coefficients[0], 1e-5);
        Assert.Equal(LnPenalised(constant, slope), fit.LnLikelihood, 1e-9);
    }

    // At a limit twice the drop of the profile is 3.841459, the 95 % point of χ² of one degree.
    [Fact]
    public void ProfileInterval_SeparatedNumbers_DropsByTheSamePoint()
    {
        var (model, top) = (Separated(), Profile(Greatest(Profile, -5, 10)));
        var interval = model.ProfileInterval(1);
        Assert.Equal(3.841459, 2 * (top - Profile(interval.Low)), 1e-4);
        Assert.Equal(3.841459, 2 * (top - Profile(interval.High)), 1e-4);
        Assert.True(interval.Low > 0 && double.IsFinite(interval.High));
    }

    // p ≤ 0.05 exactly where the 95 % interval leaves 0 out.
    [Theory]
    [InlineData(4, 2, 1, 9)]
    [InlineData(2, 4, 3, 9)]
    [InlineData(3, 0, 4, 9)]
    public void ProfileP_AgreesWithTheInterval(int a, int b, int c, int d)
    {
        var model = Of(new(a, b, c, d));
        Assert.Equal(!model.ProfileInterval(1).Contains(0), model.ProfileP(1) <= 0.05);
    }

    // Odds ratios do not change when kelvin are counted in millikelvin.
    [Fact]
    public void Fit_AnotherUnit_ScalesItsCoefficientOnly()
    {
        var milli = new FirthLogistic([.. X.Select(x => (double[])[1, 1000 * x])], Y);
        Assert.Equal(Separated().Fit().Coefficients[1], 1000 * milli.Fit().Coefficients[1], 1e-4);
    }

    [Fact]
    public void IsDetermined_ColumnThatFollowsFromAnother_IsNot()
    {
        Assert.True(Separated().IsDetermined);
        Assert.False(new FirthLogistic([.. X.Select(x => (double[])[1, x, 3 - 2 * x])], Y).IsDetermined);
        Assert.False(new FirthLogistic([.. X.Select(x => (double[])[1, 0])], Y).IsDetermined);
    }

    [Fact]
    public void Rows_OfUnequalLength_AreRefused() => Assert.Throws<ArgumentException>(() => new FirthLogistic([[1, 2], [1]], [true, false]));

    private static FirthLogistic Separated() => new([.. X.Select(x => (double[])[1, x])], Y);

    private static FirthLogistic Of(TwoByTwo t)
    {
        var pieces = Enumerable.Repeat((1.0, true), t.DefectiveWith).Concat(Enumerable.Repeat((1.0, false), t.FineWith))
            .Concat(Enumerable.Repeat((0.0, true), t.DefectiveWithout)).Concat(Enumerable.Repeat((0.0, false), t.FineWithout)).ToArray();
        return new([.. pieces.Select(p => (double[])[1, p.Item1])], [.. pieces.Select(p => p.Item2)]);
    }

    private static double Profile(double slope) => LnPenalised(Greatest(a => LnPenalised(a, slope), -20 - 3 * slope, 20), slope);

    // The information of a constant and x: |Σw Σwx; Σwx Σwx²| with w = π(1 − π).
    private static double LnPenalised(double constant, double slope)
    {
        double ln = 0, w0 = 0, w1 = 0, w2 = 0;
        for (var i = 0; i < X.Length; i++)
        {
            var share = 1 / (1 + Math.Exp(-constant - slope * X[i]));
            var w = share * (1 - share);
            ln += Math.Log(Y[i] ? share : 1 - share);
            (w0, w1, w2) = (w0 + w, w1 + w * X[i], w2 + w * X[i] * X[i]);
        }
        return ln + 0.5 * Math.Log(w0 * w2 - w1 * w1);
    }

    private static double Greatest(Func<double, double> f, double low, double high)
    {
        var golden = (Math.Sqrt(5) - 1) / 2;
        for (var i = 0; i < 90; i++)
        {
            var (left, right) = (high - golden * (high - low), low + golden * (high - low));
            (low, high) = f(left) > f(right) || double.IsNaN(f(right)) ? (low, right) : (left, high);
        }
        return (low + high) / 2;
    }
}
