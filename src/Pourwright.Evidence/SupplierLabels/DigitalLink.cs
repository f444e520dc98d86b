using System.Text.RegularExpressions;

namespace Pourwright.Evidence.SupplierLabels;

/// <summary>Cuts a GS1 Digital Link, uncompressed, into its elements: key and qualifiers of the path, then the query.</summary>
/// <remarks>Rules of the GS1 Digital Link URI syntax and of the syntax dictionary; the short words of older links are taken as well.</remarks>
public static partial class DigitalLink
{
    private static readonly Dictionary<string, string> Words = new()
    {
        ["sscc"] = "00", ["gtin"] = "01", ["cpv"] = "22", ["lot"] = "10", ["ser"] = "21", ["gdti"] = "253", ["gln"] = "414", ["grai"] = "8003", ["giai"] = "8004",
    };

    public static bool Looks(string text) => text.StartsWith("http://", StringComparison.OrdinalIgnoreCase) || text.StartsWith("https://", StringComparison.OrdinalIgnoreCase);

    /// <exception cref="FormatException">No key of GS1 in it, qualifiers in a wrong order, an attribute twice or unknown.</exception>
    public static IReadOnlyList<LabelElement> Elements(string link)
    {
        if (!Whole().IsMatch(link))
            throw new FormatException($"\"{link}\" is no web address: scan the code again.");
        var parts = link.Split('#')[0].Split('?', 2);
        var path = Path(parts[0]) ?? throw new FormatException($"{link} holds no GS1 key: it is the supplier's own address. Type lot and date as the can shows them.");
        LabelElement[] elements = [.. path, .. Query(parts.ElementAtOrDefault(1) ?? "", path)];
        return elements.GroupBy(element => element.Ai).FirstOrDefault(same => same.Count() > 1) is { } twice
            ? throw new FormatException($"({twice.Key}) stands in the link twice: take what the can shows.")
            : elements;
    }

    private static LabelElement[]? Path(string address)
    {
        string[] segments = [.. address.Split('/').Skip(3)];
        for (var at = 0; at + 1 < segments.Length; at++)
            if (Pairs(segments[at..]) is { } pairs && Fits(pairs))
                return [.. pairs.Select(Padded)];
        return null;
    }

    private static LabelElement[]? Pairs(string[] segments) => segments.Length % 2 == 1 || segments.Contains("")
        ? null
        : [.. segments.Chunk(2).Select(pair => new LabelElement(Words.GetValueOrDefault(pair[0], pair[0]), Uri.UnescapeDataString(pair[1])))];

    private static bool Fits(LabelElement[] pairs) =>
        ApplicationIdentifiers.Of(pairs[0].Ai)?.Qualifiers is { } sequences
        && (pairs.Length == 1 || sequences.Any(sequence => IsInOrder(sequence, pairs.Skip(1).Select(pair => pair.Ai))));

    private static bool IsInOrder(string[] sequence, IEnumerable<string> qualifiers)
    {
        int[] places = [.. qualifiers.Select(qualifier => Array.IndexOf(sequence, qualifier))];
        return places.All(place => place >= 0) && places.Zip(places.Skip(1)).All(two => two.First < two.Second);
    }

    private static IEnumerable<LabelElement> Query(string query, LabelElement[] path) => query.Split('&', ';')
        .Select(attribute => attribute.Split('=', 2))
        .Where(pair => pair.Length == 2 && pair[0].Length > 0 && pair[0].All(char.IsAsciiDigit))
        .Select(pair => Attribute(pair[0], Uri.UnescapeDataString(pair[1]), path));

    private static LabelElement Attribute(string ai, string value, LabelElement[] path)
    {
        if (ApplicationIdentifiers.Of(ai) is null)
            throw new FormatException($"{ai}={value} is no attribute known here: numbers alone are kept for GS1.");
        if (BelongsInPath(ai, path))
            throw new FormatException($"{ai}={value} belongs into the path of the link, after its key: the label was made wrongly, check it against the can.");
        return new(ai, value);
    }

    private static bool BelongsInPath(string ai, LabelElement[] path) => ApplicationIdentifiers.Of(path[0].Ai)!.Qualifiers!
        .Any(sequence => sequence.Contains(ai) && path.Skip(1).All(pair => sequence.Contains(pair.Ai)));

    /// <summary>A GTIN of 8, 12 or 13 digits gets its zeros: older links left them out.</summary>
    private static LabelElement Padded(LabelElement element) =>
        element is { Ai: "01", Value.Length: 8 or 12 or 13 } ? element with { Value = element.Value.PadLeft(14, '0') } : element;

    [GeneratedRegex(@"^https?://[^/?#\s]+/[^\s<>{}\\^`""|]*$", RegexOptions.IgnoreCase)]
    private static partial Regex Whole();
}
