using System.Numerics;
using Pourwright.Planning.Checking;

namespace Pourwright.Planning.Explaining;

/// <summary>Some of the rules of a plan.</summary>
/// <remarks>
/// <see cref="PlanRule.ChanceAllReady"/> counts as <see cref="PlanRule.LeastGap"/>: the gap is the chance, said in hours.
/// </remarks>
/// <param name="Bits">One a <see cref="PlanRule"/>, by its number.</param>
public readonly record struct RuleSet(int Bits)
{
    public int Count => BitOperations.PopCount((uint)Bits);

    /// <summary>In the order of <see cref="PlanRule"/>.</summary>
    public IEnumerable<PlanRule> Rules
    {
        get
        {
            for (var left = Bits; left != 0; left &= left - 1)
                yield return (PlanRule)BitOperations.TrailingZeroCount(left);
        }
    }

    public static RuleSet Of(params IEnumerable<PlanRule> rules) => new(rules.Aggregate(0, (bits, rule) => bits | Bit(rule)));

    public bool Contains(PlanRule rule) => (Bits & Bit(rule)) != 0;

    public bool IsWithin(RuleSet other) => (Bits & ~other.Bits) == 0;

    public override string ToString() => string.Join(" + ", Rules);

    internal static int Bit(PlanRule rule) => 1 << (int)(rule == PlanRule.ChanceAllReady ? PlanRule.LeastGap : rule);
}
