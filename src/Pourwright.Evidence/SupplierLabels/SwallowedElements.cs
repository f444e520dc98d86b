namespace Pourwright.Evidence.SupplierLabels;

/// <summary>
/// The trap of element strings: where the FNC1 after a lot was lost, what followed is read as part of the lot, and no rule is
/// broken. Only a person with the can at hand can tell.
/// </summary>
public static class SwallowedElements
{
    /// <summary>Shorter serials are left alone: too many lots hold "21" and a digit or two.</summary>
    private const int MinSerialLength = 4;

    private static readonly string[] Beside = ["11", "13", "15", "16", "17", "21", "310n"];

    /// <summary>A remark where the end of a value of free length could be elements of its own.</summary>
    public static IEnumerable<string> Remarks(IReadOnlyList<LabelElement> elements, int currentYear) => Open(elements)
        .Select(element => (element, splits: Splits(element, elements, currentYear)))
        .Where(found => found.splits.Count > 0)
        .Select(found => $"{found.element} may be {string.Join(", or ", found.splits.Select(split => $"{split.Kept} and {string.Concat(split.Tail)}"))}, run together: compare it with the can before it is kept.");

    /// <summary>What the label says with such an end taken apart: each a reading of its own.</summary>
    public static IEnumerable<IReadOnlyList<LabelElement>> Readings(IReadOnlyList<LabelElement> elements, int currentYear) => Open(elements)
        .SelectMany(element => Splits(element, elements, currentYear).Select(split => (IReadOnlyList<LabelElement>)
            [.. elements.SelectMany(one => one == element ? [element with { Value = split.Kept }, .. split.Tail] : new[] { one })]));

    private static IEnumerable<LabelElement> Open(IEnumerable<LabelElement> elements) => elements.Where(element => element.Ai is "10" or "21");

    private static List<(string Kept, IReadOnlyList<LabelElement> Tail)> Splits(LabelElement element, IReadOnlyList<LabelElement> elements, int currentYear) =>
    [
        .. Enumerable.Range(1, element.Value.Length - 1)
            .Select(length => (kept: element.Value[..length], tail: Tail(element.Value[length..], elements, currentYear)))
            .Where(split => split.tail is not null)
            .Select(split => (split.kept, (IReadOnlyList<LabelElement>)split.tail!)),
    ];

    private static List<LabelElement>? Tail(string text, IReadOnlyList<LabelElement> elements, int currentYear)
    {
        List<LabelElement> tail = [];
        for (var at = 0; at < text.Length;)
        {
            if (ApplicationIdentifiers.AtStart(text.AsSpan(at)) is not { } ai || !Beside.Contains(ApplicationIdentifiers.Family(ai)) || elements.Concat(tail).Any(other => other.Ai == ai))
                return null;
            var known = ApplicationIdentifiers.Of(ai)!;
            var value = text[(at + ai.Length)..Math.Min(text.Length, at + ai.Length + known.MaxLength)];
            if (known.Fault(value, currentYear) is not null || ai == "21" && value.Length < MinSerialLength)
                return null;
            tail.Add(new(ai, value));
            at += ai.Length + value.Length;
        }
        return tail;
    }
}
