namespace Pourwright.Planning.Replanning;

/// <summary>How a plan is mended: settings of a studio, none has a source but custom.</summary>
public sealed record ReplanTerms
{
    /// <summary>
    /// How many classes beside the broken ones may move, a proposal each: freeing more saves more classes and moves more of them.
    /// None is always tried as well: it takes no time, and the others start from it.
    /// </summary>
    public IReadOnlyList<int> Neighbours { get; init; } = [0, 12, 30];

    /// <summary>Sessions that begin sooner than this from now, in h, stay as they are unless a person names their class.</summary>
    public double FrozenHours { get; init; } = 24;

    /// <summary>
    /// Points of change that one student's place is worth, for further proposals that would rather give up a small class than move
    /// many: a session at another time or place is 1, one with another person 2. Null asks for none of them.
    /// </summary>
    public int? ChangesAStudent { get; init; } = 2;

    /// <summary>
    /// Most work on each of the two stages of a proposal, in the solver's deterministic s (near wall s on one core). Broken classes
    /// alone take hundredths; with twelve others the fewest changes are often proved within it, the fewest points seldom.
    /// </summary>
    public double StageSeconds { get; init; } = 3;

    public int Seed { get; init; } = 1;
}
