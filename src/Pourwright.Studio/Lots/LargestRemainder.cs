namespace Pourwright.Studio.Lots;

/// <summary>Splits a mass in proportion, in whole milligrams that add up exactly.</summary>
public static class LargestRemainder
{
    /// <summary>One share a weight, in mg: rounded down, and what is missing goes to the largest remainders (Hamilton's method), of equals to the first.</summary>
    /// <param name="massMg">0 or more.</param>
    /// <param name="weights">0 or more, not all 0.</param>
    public static long[] Split(long massMg, IReadOnlyList<long> weights)
    {
        Int128 total = weights.Aggregate(Int128.Zero, (sum, weight) => sum + weight);
        var exact = weights.Select(weight => Int128.DivRem((Int128)massMg * weight, total)).ToArray();
        var whole = exact.Select(share => (long)share.Quotient).ToArray();
        var missing = (int)(massMg - whole.Sum());
        foreach (var index in Enumerable.Range(0, whole.Length).OrderByDescending(index => exact[index].Remainder).Take(missing))
            whole[index]++;
        return whole;
    }
}
