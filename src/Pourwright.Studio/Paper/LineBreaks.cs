using System.Text;

namespace Pourwright.Studio.Paper;

/// <summary>Breaks text into lines between words, by any measure of width: characters or points.</summary>
public static class LineBreaks
{
    /// <summary>Lines no wider than <paramref name="width"/>; a word that is wider by itself is cut, after a hyphen where it has one.</summary>
    public static IReadOnlyList<string> Wrap(string text, double width, Func<string, double> measure)
    {
        List<string> lines = [];
        var line = new StringBuilder();
        foreach (var piece in text.Split(' ').SelectMany(word => Cut(word, width, measure)))
        {
            if (line.Length > 0 && measure($"{line} {piece}") > width)
            {
                lines.Add(line.ToString());
                line.Clear();
            }
            line.Append(line.Length > 0 ? " " : "").Append(piece);
        }
        return [.. lines, line.ToString()];
    }

    /// <summary>Width of the widest part that is better not cut: from blank or hyphen to blank or hyphen.</summary>
    public static double Widest(string text, Func<string, double> measure) =>
        text.Replace("-", "- ", StringComparison.Ordinal).Split(' ').Max(measure);

    private static IEnumerable<string> Cut(string word, double width, Func<string, double> measure)
    {
        while (word.Length > 1 && measure(word) > width)
        {
            var fitting = Enumerable.Range(1, word.Length - 1).Last(count => count == 1 || measure(word[..count]) <= width);
            var hyphen = word.LastIndexOf('-', fitting - 1);
            var length = hyphen > 0 ? hyphen + 1 : fitting;
            // Half of a surrogate pair is no character.
            if (char.IsHighSurrogate(word[length - 1])) length += length > 1 ? -1 : 1;
            if (length == word.Length) break;
            yield return word[..length];
            word = word[length..];
        }
        yield return word;
    }
}
