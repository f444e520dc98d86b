using System.Text;
using System.Text.RegularExpressions;

namespace Pourwright.Evidence.SupplierLabels;

/// <summary>An identifier and its value.</summary>
public sealed record LabelElement(string Ai, string Value)
{
    public override string ToString() => $"({Ai}){Value}";
}

/// <summary>Cuts GS1 element strings into their elements: as scanned, with FNC1 as 0x1D, or as printed, with brackets.</summary>
/// <remarks>Where the text breaks off is said in the exception; values are not judged here.</remarks>
public static partial class ElementString
{
    public const char Fnc1 = '\u001d';

    /// <summary>Of what stands after the symbology prefix or the first FNC1.</summary>
    /// <exception cref="FormatException">An identifier not known here, or no element at all.</exception>
    public static IReadOnlyList<LabelElement> Scanned(string text)
    {
        List<LabelElement> elements = [];
        for (var at = 0; at < text.Length;)
        {
            var element = Next(text, at);
            elements.Add(element);
            at += element.Ai.Length + element.Value.Length;
            if (at < text.Length && text[at] == Fnc1)
                at++;
        }
        return elements.Count > 0 ? elements : throw new FormatException("The code holds nothing: scan it again.");
    }

    /// <summary>Such as <c>(01)09506000134352(10)A2602-17</c>; a bracket inside a value has a backslash before it.</summary>
    /// <exception cref="FormatException">Not of this form, or an identifier not known here.</exception>
    public static IReadOnlyList<LabelElement> Bracketed(string text)
    {
        if (!WholeBracketed().IsMatch(text))
            throw new FormatException($"\"{text}\" is no list of elements: write each as its identifier in brackets and its value, such as (10)A2602-17.");
        return [.. OneBracketed().Matches(text).Select(match => Known(match.Groups[1].Value, match.Groups[2].Value.Replace(@"\(", "(", StringComparison.Ordinal)))];
    }

    /// <summary>As a scanner would send it, after the symbology prefix.</summary>
    public static string Write(IEnumerable<LabelElement> elements)
    {
        var text = new StringBuilder().Append(Fnc1);
        foreach (var element in elements)
            text.Append(element.Ai).Append(element.Value).Append(ApplicationIdentifiers.Of(element.Ai) is { EndsItself: true } ? "" : Fnc1.ToString());
        return text.ToString().TrimEnd(Fnc1);
    }

    private static LabelElement Next(string text, int at)
    {
        if (ApplicationIdentifiers.AtStart(text.AsSpan(at)) is not { } ai)
            throw new FormatException($"\"{Start(text, at)}\" begins with no identifier known here: scan the code again, or type what the can shows.");
        var begin = at + ai.Length;
        var end = text.IndexOf(Fnc1, begin) is var separator and >= 0 ? separator : text.Length;
        if (ApplicationIdentifiers.Of(ai) is { EndsItself: true } known)
            end = Math.Min(end, begin + known.MaxLength);
        return new(ai, text[begin..end]);
    }

    private static LabelElement Known(string ai, string value) => ApplicationIdentifiers.Of(ai) is null
        ? throw new FormatException($"({ai}) is no identifier known here: check it against the can, or leave it out.")
        : new(ai, value);

    private static string Start(string text, int at) => text[at..Math.Min(at + 8, text.Length)];

    [GeneratedRegex(@"^(\(\d{2,4}\)((?:[^(\\]|\\\()+))+$")]
    private static partial Regex WholeBracketed();

    [GeneratedRegex(@"\((\d{2,4})\)((?:[^(\\]|\\\()+)")]
    private static partial Regex OneBracketed();
}
