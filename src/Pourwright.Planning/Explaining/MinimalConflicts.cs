using System.Numerics;

namespace Pourwright.Planning.Explaining;

/// <summary>Sets of rules that exclude every placement, and from which no rule could be left out.</summary>
public static class MinimalConflicts
{
    /// <summary>The smallest conflicts first.</summary>
    /// <param name="corrections">For every placement the rules that it breaks; or only the inclusion-minimal ones of these sets.</param>
    /// <remarks>
    /// A conflict holds one rule at least of what each placement breaks: it is a minimal hitting set, found by taking the sets in
    /// one after the other and keeping what is minimal (Berge 1989, Hypergraphs; the duality is Reiter 1987, A theory of diagnosis
    /// from first principles; both from memory). A placement that breaks nothing leaves no conflict.
    /// </remarks>
    public static IReadOnlyList<RuleSet> Of(IEnumerable<RuleSet> corrections)
    {
        List<int> conflicts = [0];
        foreach (var correction in corrections)
            conflicts = Minimal(conflicts.SelectMany(conflict => Extended(conflict, correction.Bits)));
        return [.. conflicts.Where(bits => bits != 0).Select(bits => new RuleSet(bits)).OrderBy(set => set.Count).ThenBy(set => set.Bits)];
    }

    private static IEnumerable<int> Extended(int conflict, int correction)
    {
        if ((conflict & correction) != 0)
            yield return conflict;
        else
            for (var left = correction; left != 0; left &= left - 1)
                yield return conflict | left & -left;
    }

    private static List<int> Minimal(IEnumerable<int> sets)
    {
        var minimal = new List<int>();
        foreach (var set in sets.Distinct().OrderBy(bits => BitOperations.PopCount((uint)bits)))
            if (!minimal.Exists(smaller => (smaller & ~set) == 0))
                minimal.Add(set);
        return minimal;
    }
}
