using MathNet.Numerics;
using MathNet.Numerics.RootFinding;

namespace Pourwright.Evidence.Counts;

/// <summary>What a count of defective pieces says of the true share.</summary>
public static class Proportion
{
    /// <summary>Interval of the true share, 0 to 1, by Wilson's score (Wilson 1927, as in Newcombe 1998; from memory).</summary>
    /// <exception cref="ArgumentOutOfRangeException">No pieces, or a count outside of 0 to their number.</exception>
    public static Interval Wilson(int defective, int pieces, double confidence = 0.95)
    {
        var (n, z) = (Pieces(defective, pieces), Interval.Deviations(confidence));
        var middle = (defective + z * z / 2) / (n + z * z);
        var half = z / (n + z * z) * Math.Sqrt(defective * (n - defective) / n + z * z / 4);
        // At the ends the formula gives 0 and 1 but for rounding.
        return new(defective == 0 ? 0 : middle - half, defective == pieces ? 1 : middle + half);
    }

    /// <summary>Interval of the true share, 0 to 1, that leaves at most the stated tails (Clopper and Pearson 1934; from memory).</summary>
    /// <exception cref="ArgumentOutOfRangeException">No pieces, or a count outside of 0 to their number.</exception>
    public static Interval Exact(int defective, int pieces, double confidence = 0.95)
    {
        var (n, tail) = (Pieces(defective, pieces), Interval.Tail(confidence));
        return new(
            defective == 0 ? 0 : Root(share => AtLeast(defective, pieces, share) - tail),
            defective == n ? 1 : Root(share => AtMost(defective, pieces, share) - tail));
    }

    /// <summary>
    /// Interval of the difference of two true shares, the second taken from the first, −1 to 1: both Wilson intervals squared and
    /// added (Newcombe 1998, method 10; from memory).
    /// </summary>
    /// <exception cref="ArgumentOutOfRangeException">No pieces on a side, or a count outside of 0 to their number.</exception>
    public static Interval Difference(int defective, int pieces, int otherDefective, int otherPieces, double confidence = 0.95)
    {
        var (one, other) = (Wilson(defective, pieces, confidence), Wilson(otherDefective, otherPieces, confidence));
        var (share, otherShare) = ((double)defective / pieces, (double)otherDefective / otherPieces);
        return new(
            share - otherShare - double.Hypot(share - one.Low, other.High - otherShare),
            share - otherShare + double.Hypot(one.High - share, otherShare - other.Low));
    }

    /// <summary>Chance, 0 to 1, of at least so many defective pieces where each is one with this chance.</summary>
    public static double AtLeast(int defective, int pieces, double share) => defective <= 0 ? 1
        : defective > pieces ? 0 : SpecialFunctions.BetaRegularized(defective, pieces - defective + 1, share);

    /// <summary>Chance, 0 to 1, of at most so many defective pieces where each is one with this chance.</summary>
    public static double AtMost(int defective, int pieces, double share) => AtLeast(pieces - defective, pieces, 1 - share);

    private static double Root(Func<double, double> f) => Brent.FindRoot(f, 0, 1, 1e-14, 500);

    private static double Pieces(int defective, int pieces)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(pieces, 1);
        ArgumentOutOfRangeException.ThrowIfNegative(defective);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(defective, pieces);
        return pieces;
    }
}
