using MathNet.Numerics.LinearAlgebra;

namespace Pourwright.Evidence.Watch;

/// <summary>When the defects of a site, in the order of inspection, have become too many.</summary>
/// <remarks>
/// A sum rises by <see cref="Up"/> with a defective piece, falls by <see cref="Down"/> with a fine one, never below 0, and calls at
/// <see cref="Limit"/>. Steps are in the ratio of ln(p1 (1 − p0) / (p0 (1 − p1))) − ln((1 − p0) / (1 − p1)) to the latter, in whole
/// numbers (Reynolds and Stoumbos 1999; from memory): for a usual rate of 0.05 and one of 0.20 that is 8.07 to 1.
/// </remarks>
/// <exception cref="ArgumentOutOfRangeException">A step or limit below 1.</exception>
public sealed record BernoulliCusum(int Up = 8, int Down = 1, int Limit = 20)
{
    public int Up { get; } = AtLeastOne(Up);
    public int Down { get; } = AtLeastOne(Down);
    public int Limit { get; } = AtLeastOne(Limit);

    /// <summary>The sum after one more piece.</summary>
    public int Next(int sum, bool isDefective) => isDefective ? sum + Up : Math.Max(0, sum - Down);

    /// <summary>Pieces until it calls, on average and from a sum of 0, where each is defective with this chance, 0 to 1, 0 excluded.</summary>
    /// <remarks>Exact: with L(s) the pieces still to come at sum s, L(s) = 1 + p L(s + up) + (1 − p) L(max(0, s − down)), and 0 from the limit on.</remarks>
    /// <exception cref="ArgumentOutOfRangeException">A rate outside of 0 to 1, or 0, at which it never calls.</exception>
    public double MeanPiecesToAlarm(double rate)
    {
        if (rate is not (> 0 and <= 1))
            throw new ArgumentOutOfRangeException(nameof(rate), rate, "A rate lies above 0 and at most at 1; without defects it never calls.");
        var chain = Matrix<double>.Build.DenseIdentity(Limit);
        for (var sum = 0; sum < Limit; sum++)
        {
            chain[sum, Next(sum, false)] -= 1 - rate;
            if (Next(sum, true) < Limit)
                chain[sum, Next(sum, true)] -= rate;
        }
        return chain.Solve(Vector<double>.Build.Dense(Limit, 1))[0];
    }

    private static int AtLeastOne(int value) => value >= 1
        ? value
        : throw new ArgumentOutOfRangeException(nameof(value), value, "Steps and limit are whole numbers from 1 on; 8, 1 and 20 are usual.");
}
