using System.Globalization;

namespace Pourwright.Evidence.Suspects;

/// <summary>Something seen or computed: in words, and by its kind with its values for those who have words of their own.</summary>
/// <param name="Kind">UPPER_SNAKE.</param>
/// <param name="Text">A sentence or two.</param>
/// <param name="Facts">Every value of the text, its unit last in its name.</param>
public sealed record Finding(string Kind, string Text, params (string Name, string Value)[] Facts)
{
    internal static string Number(double value, int digits = 0) => value.ToString(digits == 0 ? "0" : digits == 1 ? "0.#" : "0.00", CultureInfo.InvariantCulture);
}
