namespace Pourwright.Cli.Kernel;

/// <summary>Arguments of two halves: <c>can-a1=1.39kg</c>.</summary>
public static class Pairs
{
    /// <summary>What stands before and after the last <c>=</c>, and a mass in the second place.</summary>
    /// <exception cref="FormatException">There are not two halves, or the second is no mass.</exception>
    public static (string Name, Mass Mass) NameAndMass(string text, string example)
    {
        var cut = text.LastIndexOf('=');
        return cut > 0
            ? (text[..cut].Trim(), Mass.Parse(text[(cut + 1)..]))
            : throw new FormatException($"'{text}' is not NAME=MASS: write {example}.");
    }

    /// <summary>A value and how long after the start it counts: <c>20mm+6h</c>; at once where nothing is added.</summary>
    /// <exception cref="FormatException">The second half is no duration.</exception>
    public static (string Value, TimeSpan Offset) ValueAndOffset(string text)
    {
        var cut = text.IndexOf('+', Math.Min(1, text.Length));
        return cut < 0 ? (text, TimeSpan.Zero) : (text[..cut], Span.Parse(text[(cut + 1)..]).Length);
    }

    /// <summary>Two lengths: <c>400mmx250mm</c>; the first may leave its unit to the second.</summary>
    /// <exception cref="FormatException">There are not two, or one is no length.</exception>
    public static (Depth First, Depth Second) Sizes(string text, string example)
    {
        if (text.ToLowerInvariant().Split('x') is not [var first, var second])
            throw new FormatException($"'{text}' is not LENGTHxLENGTH: write {example}.");
        var unit = string.Concat(second.Where(char.IsAsciiLetter));
        return (Depth.Parse(first.Any(char.IsAsciiLetter) ? first : first + unit), Depth.Parse(second));
    }
}
