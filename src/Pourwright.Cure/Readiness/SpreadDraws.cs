namespace Pourwright.Cure.Readiness;

/// <summary>The draws that stand for a spread: evenly spread points of the unit cube, bent to normal scores.</summary>
/// <remarks>
/// Point i has coordinates frac(shift_j + (i + ½) φ^−j), j = 1..5, where φ is the root of φ⁶ = φ + 1: the additive sequence of least known
/// discrepancy in five dimensions [Roberts2018]; the shift comes from the seed. A few dozen of them do what several hundred
/// random draws do (measured: see the tests).
/// </remarks>
internal static class SpreadDraws
{
    private const int Dimensions = 5;

    // φ^6 = φ + 1.
    private const double Phi = 1.1347241384015194;

    public static IEnumerable<Departure> Of(CureSpread spread)
    {
        var random = new Random(spread.Seed);
        var shift = Enumerable.Range(0, Dimensions).Select(_ => random.NextDouble()).ToArray();
        for (var i = 0; i < spread.Draws; i++)
        {
            double Score(int dimension) => NormalScore(Fraction(shift[dimension] + (i + 0.5) * Math.Pow(Phi, -1 - dimension)));
            yield return new(
                Math.Exp(spread.RateLnSd * Score(0)), Math.Exp(spread.HeatLnSd * Score(1)), Math.Exp(spread.HeatLossLnSd * Score(2)),
                spread.AmbientOffsetSdKelvin * Score(3), spread.TgOffsetSdKelvin * Score(4));
        }
    }

    /// <summary>Quantile of the draws, by linear interpolation between order statistics at (i + ½)/n; infinite when it was not reached.</summary>
    public static double Quantile(double[] sorted, double share)
    {
        var position = Math.Clamp(share * sorted.Length - 0.5, 0, sorted.Length - 1);
        var (below, above) = (sorted[(int)position], sorted[Math.Min((int)position + 1, sorted.Length - 1)]);
        return double.IsInfinity(above) ? (position % 1 == 0 ? below : above) : below + (above - below) * (position % 1);
    }

    // Algorithm AS 241, PPND7 [Wichura1988]: about seven digits.
    internal static double NormalScore(double share)
    {
        var centred = share - 0.5;
        if (Math.Abs(centred) <= 0.425)
        {
            var r = 0.180625 - centred * centred;
            return centred * (((59.109374720 * r + 159.29113202) * r + 50.434271938) * r + 3.3871327179)
                / (((67.187563600 * r + 78.757757664) * r + 17.895169469) * r + 1);
        }
        var tail = Math.Sqrt(-Math.Log(Math.Min(share, 1 - share)));
        return Math.Sign(centred) * (tail <= 5 ? NearTail(tail - 1.6) : FarTail(tail - 5));
    }

    private static double NearTail(double r) =>
        (((0.17023821103 * r + 1.3067284816) * r + 2.7568153900) * r + 1.4234372777) / ((0.12021132975 * r + 0.73700164250) * r + 1);

    private static double FarTail(double r) =>
        (((0.017337203997 * r + 0.42868294337) * r + 3.0812263860) * r + 6.6579051150) / ((0.012258202635 * r + 0.24197894225) * r + 1);

    private static double Fraction(double x) => x - Math.Floor(x);
}
