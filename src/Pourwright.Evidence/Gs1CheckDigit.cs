namespace Pourwright.Evidence;

/// <summary>The check digit of GS1 keys.</summary>
public static class Gs1CheckDigit
{
    /// <summary>For the digits before it: weights 3 and 1 by turns from the right, then what is missing to a full ten.</summary>
    /// <remarks>GS1 General Specifications, section 7.9, from memory.</remarks>
    public static char Of(ReadOnlySpan<char> digits)
    {
        var sum = 0;
        for (var place = 1; place <= digits.Length; place++)
            sum += (digits[^place] - '0') * (place % 2 == 1 ? 3 : 1);
        return (char)('0' + (10 - sum % 10) % 10);
    }

    /// <summary>Does the last digit check those before it?</summary>
    public static bool Holds(ReadOnlySpan<char> key) => key.Length > 1 && Of(key[..^1]) == key[^1];
}
