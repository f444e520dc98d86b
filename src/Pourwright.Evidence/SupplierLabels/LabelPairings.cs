namespace Pourwright.Evidence.SupplierLabels;

/// <summary>What must stand together on a label and what must not.</summary>
public static class LabelPairings
{
    /// <summary>Remarks, not refusals: what is missing may stand in a second code on the same can.</summary>
    public static IEnumerable<string> Remarks(IReadOnlyList<LabelElement> elements) =>
        [.. Repeats(elements), .. elements.DistinctBy(element => element.Ai).SelectMany(element => Missing(element, elements).Concat(Excluded(element, elements)))];

    private static IEnumerable<string> Repeats(IReadOnlyList<LabelElement> elements) => elements
        .GroupBy(element => element.Ai).Where(same => same.Select(element => element.Value).Distinct().Count() > 1)
        .Select(same => $"The label says {string.Join(" and ", same.Select(element => element.ToString()).Distinct())}: only one can be true.");

    private static IEnumerable<string> Missing(LabelElement element, IReadOnlyList<LabelElement> elements) => ApplicationIdentifiers.Of(element.Ai)!.Needs
        .Where(group => !elements.Any(other => group.Any(needed => Is(other.Ai, needed))))
        .Select(group => $"{element} belongs with {string.Join(" or ", group.Select(needed => $"({needed})"))}, which is not there: look for a second code on the can.");

    private static IEnumerable<string> Excluded(LabelElement element, IReadOnlyList<LabelElement> elements) => elements
        .Where(other => other.Ai != element.Ai && ApplicationIdentifiers.Of(element.Ai)!.Excludes.Any(excluded => Is(other.Ai, excluded)))
        .Select(other => $"{element} and {other} do not go together: check both against the can.");

    /// <summary>31 stands for every identifier of a net measure that begins so, 310 for 3100 to 3105.</summary>
    private static bool Is(string ai, string pattern) =>
        ai == pattern || pattern[0] == '3' && ApplicationIdentifiers.Family(ai) != ai && ai.StartsWith(pattern, StringComparison.Ordinal);
}
