using System.Text.RegularExpressions;

namespace Pourwright.Evidence.Epcis;

/// <summary>EPC URIs, the older names of GS1 keys, in the form of a GS1 Digital Link.</summary>
/// <remarks>Schemes of the EPC Tag Data Standard, paired with application identifiers as the event hash of CBV 2.0 asks for; from memory, held by tests.</remarks>
public static partial class EpcUri
{
    private const string Resolver = "https://id.gs1.org/";

    /// <summary>
    /// A scheme's line: <c>k</c> the key of prefix and reference with its check digit, <c>g</c> the same with the first digit of the
    /// reference moved to the front, <c>p</c> both without a check digit, then <c>3</c>, <c>4</c>, <c>5</c> for its further parts.
    /// </summary>
    private static readonly Dictionary<string, string> Schemes = new()
    {
        ["sgtin"] = "01/{g}/21/{3}",
        ["lgtin"] = "01/{g}/10/{3}",
        ["upui"] = "01/{g}/235/{3}",
        ["sscc"] = "00/{g}",
        ["sgln"] = "414/{k}/254/{3}",
        ["pgln"] = "417/{k}",
        ["grai"] = "8003/0{k}{3}",
        ["giai"] = "8004/{p}",
        ["gsrn"] = "8018/{k}",
        ["gsrnp"] = "8017/{k}",
        ["gdti"] = "253/{k}{3}",
        ["sgcn"] = "255/{k}{3}",
        ["cpi"] = "8010/{p}/8011/{3}",
        ["ginc"] = "401/{p}",
        ["gsin"] = "402/{k}",
        ["itip"] = "8006/{g}{3}{4}/21/{5}",
    };

    /// <summary>Null for whatever is no EPC URI. A pattern's star leaves its part out.</summary>
    public static string? ToDigitalLink(string uri) =>
        Epc().Match(uri) is { Success: true } match && Schemes.TryGetValue(match.Groups["scheme"].Value, out var line)
            ? Resolver + Filled(line, match.Groups["parts"].Value.Split('.', PartCount(line)))
            : null;

    private static string Filled(string line, string[] parts)
    {
        var (company, reference) = (parts[0], Encoded(parts.ElementAtOrDefault(1) ?? ""));
        var filled = line
            .Replace("{k}", WithCheckDigit(company + reference), StringComparison.Ordinal)
            .Replace("{g}", reference.Length == 0 ? "" : WithCheckDigit(reference[0] + company + reference[1..]), StringComparison.Ordinal)
            .Replace("{p}", company + reference, StringComparison.Ordinal);
        foreach (var index in new[] { 3, 4, 5 })
            filled = filled.Replace($"{{{index}}}", Part(parts, index), StringComparison.Ordinal);
        return WithoutEnd(filled, line);
    }

    private static string Part(string[] parts, int index) =>
        parts.ElementAtOrDefault(index - 1) is { } part and not "*" ? Encoded(part) : "";

    /// <summary>An extension of "0" says that a place has none; a qualifier without its value falls away.</summary>
    private static string WithoutEnd(string filled, string line) =>
        EmptyQualifier().Replace(line.StartsWith("414", StringComparison.Ordinal) ? NoExtension().Replace(filled, "") : filled, "");

    private static string WithCheckDigit(string digits) => digits.All(char.IsAsciiDigit) ? digits + Gs1CheckDigit.Of(digits) : digits;

    /// <summary>Percent-encoded anew. The apostrophe stays: so the reference program has it.</summary>
    private static string Encoded(string part) => Uri.EscapeDataString(Uri.UnescapeDataString(part)).Replace("%27", "'", StringComparison.Ordinal);

    /// <summary>The last part may hold dots of its own.</summary>
    private static int PartCount(string line) => line.Contains("{5}", StringComparison.Ordinal) ? 5 : line.Contains("{3}", StringComparison.Ordinal) ? 3 : 2;

    [GeneratedRegex(@"^urn:epc:(id|class|idpat):(?<scheme>[a-z]+):(?<parts>.+)$")]
    private static partial Regex Epc();

    [GeneratedRegex("/254/0$")]
    private static partial Regex NoExtension();

    [GeneratedRegex("/(21|10|235|254|8011)/$")]
    private static partial Regex EmptyQualifier();
}
