using System.Text.RegularExpressions;

namespace Pourwright.Evidence.SupplierLabels;

/// <summary>What GS1 says of one application identifier: how its value is built, and what must or must not stand beside it.</summary>
/// <param name="Ai">The identifier; a last digit <c>n</c> stands for the number of decimals.</param>
/// <param name="EndsItself">Of predefined length: no FNC1 comes after it.</param>
/// <param name="Parts">Parts of the value in their order.</param>
/// <param name="Needs">Of each group, one must be on the label as well.</param>
/// <param name="Excludes">None of these may be.</param>
/// <param name="Qualifiers">Of a Digital Link with this key: sequences of qualifiers, in their order; null where it is no key.</param>
public sealed record ApplicationIdentifier(
    string Ai, bool EndsItself, IReadOnlyList<ValuePart> Parts, IReadOnlyList<string[]> Needs, string[] Excludes, IReadOnlyList<string[]>? Qualifiers, string Title)
{
    public int MinLength => Parts.Where(part => !part.Optional).Sum(part => part.MinLength);

    public int MaxLength => Parts.Sum(part => part.MaxLength);

    public bool IsLinkKey => Qualifiers is not null;

    /// <summary>What is wrong with the value, or null.</summary>
    public string? Fault(string value, int currentYear)
    {
        if (value.Length < MinLength || value.Length > MaxLength)
            return $"it has {value.Length} characters, {(MinLength == MaxLength ? $"{MinLength}" : $"{MinLength} to {MaxLength}")} belong there";
        var rest = value;
        foreach (var part in Parts)
        {
            var own = rest[..Math.Min(part.MaxLength, rest.Length)];
            if (own.Length > 0 && part.Fault(own, currentYear) is { } fault)
                return fault;
            rest = rest[own.Length..];
        }
        return null;
    }
}

/// <summary>A part of a value.</summary>
/// <param name="Letters"><c>n</c> digits, <c>x</c> the 82 characters GS1 allows, <c>y</c> the 39 of component numbers.</param>
/// <param name="Check"><c>c</c> ends in a check digit, <c>d</c> a date whose day may be 00, <c>z</c> zero, <c>t</c> piece of a total; else blank.</param>
public sealed partial record ValuePart(char Letters, int MinLength, int MaxLength, char Check, bool Optional)
{
    public string? Fault(string value, int currentYear)
    {
        if (!Alphabet().IsMatch(value))
            return $"\"{value}\" has characters that do not belong there";
        return Check switch
        {
            'c' when !Gs1CheckDigit.Holds(value) => $"its last digit should be {Gs1CheckDigit.Of(value.AsSpan(0, value.Length - 1))}: a digit was misread or mistyped",
            'd' when LabelDate.Of(value, currentYear) is null => $"\"{value}\" is no date of year, month and day",
            'z' when value.Any(digit => digit != '0') => $"\"{value}\" should be 0",
            't' when !IsPieceOfTotal(value) => $"\"{value}\" is no piece of a total",
            _ => null,
        };
    }

    private Regex Alphabet() => Letters switch
    {
        'n' => Digits(),
        'y' => Component(),
        _ => Any82(),
    };

    private static bool IsPieceOfTotal(string value) =>
        int.Parse(value[..2], System.Globalization.CultureInfo.InvariantCulture) is > 0 and var piece && piece <= int.Parse(value[2..], System.Globalization.CultureInfo.InvariantCulture);

    [GeneratedRegex("^[0-9]+$")]
    private static partial Regex Digits();

    [GeneratedRegex("^[#\\-/0-9A-Z]+$")]
    private static partial Regex Component();

    [GeneratedRegex("^[!\"%&'()*+,\\-./0-9:;<=>?A-Z_a-z]+$")]
    private static partial Regex Any82();
}
