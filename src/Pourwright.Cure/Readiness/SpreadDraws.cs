namespace Pourwright.Cure.Readiness;

/// <summary>
/// The draws that stand for a spread, evenly laid so that a few dozen do what several hundred random ones would.
/// </summary>
/// <remarks>
/// Points of the additive sequence frac(shift_j + (i + ½) φ^−j), j = 1..5, φ⁶ = φ + 1 [Roberts2018], each with its mirror image 1
/// − u (middles then come out right where the answer is nearly linear), replaced by their ranks in every coordinate (each spread
/// is then covered evenly by itself), and bent to normal scores. The shift comes from the seed.
/// </remarks>
internal static class SpreadDraws
{
    private const int Dimensions = 5;
    private const double Phi = 1.1347241384015194;

    public static IEnumerable<Departure> Of(CureSpread spread)
    {
        var scores = Scores(spread.Seed, spread.Draws);
        return Enumerable.Range(0, spread.Draws).Select(i => new Departure(
            Math.Exp(spread.RateLnSd * scores[0][i]),
            Math.Exp(spread.HeatLnSd * scores[1][i]),
            Math.Exp(spread.HeatLossLnSd * scores[2][i]),
            spread.AmbientOffsetSdKelvin * scores[3][i],
            spread.TgOffsetSdKelvin * scores[4][i]));
    }

    /// <summary>Normal scores of every draw, without unit: one array a coordinate, five of them.</summary>
    public static double[][] Scores(int seed, int draws)
    {
        var points = Mirrored(seed, (draws + 1) / 2).Take(draws).ToArray();
        return [.. Enumerable.Range(0, Dimensions).Select(dimension => Scores([.. points.Select(p => p[dimension])]))];
    }

    /// <summary>Quantile, on the line between the order statistics at (i + ½)/n; infinite when it was not reached.</summary>
    public static double Quantile(double[] sorted, double share)
    {
        var position = Math.Clamp(share * sorted.Length - 0.5, 0, sorted.Length - 1);
        var (below, above, part) = (sorted[(int)position], sorted[(int)Math.Ceiling(position)], position % 1);
        return double.IsInfinity(above) ? above : below + (above - below) * part;
    }

    private static IEnumerable<double[]> Mirrored(int seed, int pairs)
    {
        var random = new Random(seed);
        var shift = Enumerable.Range(0, Dimensions).Select(_ => random.NextDouble()).ToArray();
        for (var i = 0; i < pairs; i++)
        {
            double[] point = [.. shift.Select((s, j) => (s + (i + 0.5) * Math.Pow(Phi, -1 - j)) % 1)];
            yield return point;
            yield return [.. point.Select(u => 1 - u)];
        }
    }

    // The k-th smallest coordinate of n becomes the normal score of (k + ½)/n.
    public static double[] Scores(double[] coordinates)
    {
        int[] order = [.. Enumerable.Range(0, coordinates.Length)];
        Array.Sort([.. coordinates], order);
        var scores = new double[coordinates.Length];
        for (var k = 0; k < order.Length; k++)
            scores[order[k]] = NormalScore((k + 0.5) / order.Length);
        return scores;
    }

    // Algorithm AS 241, PPND7, about seven digits [Wichura1988]; its last branch, for shares under 1.4e-11, is never reached
    // here.
    private static double NormalScore(double share)
    {
        var centred = share - 0.5;
        if (Math.Abs(centred) > 0.425)
            return Math.Sign(centred) * Tail(Math.Sqrt(-Math.Log(Math.Min(share, 1 - share))) - 1.6);
        var r = 0.180625 - centred * centred;
        return centred * (((59.109374720 * r + 159.29113202) * r + 50.434271938) * r + 3.3871327179)
            / (((67.187563600 * r + 78.757757664) * r + 17.895169469) * r + 1);
    }

    private static double Tail(double r) =>
        (((0.17023821103 * r + 1.3067284816) * r + 2.7568153900) * r + 1.4234372777)
        / ((0.12021132975 * r + 0.73700164250) * r + 1);
}
