using System.Buffers;
using System.Globalization;
using System.Text;
using System.Text.Json;
using System.Text.Json.Nodes;

namespace Pourwright.Evidence.Sealing;

/// <summary>One spelling for one meaning, in UTF-8 bytes: what a row of evidence is hashed over.</summary>
/// <remarks>
/// JSON Canonicalization Scheme, RFC 8785, without fractions: names in the order of their UTF-16 code units, no white space,
/// only what must be escaped is. Masses are whole milligrams and instants whole milliseconds, so no row needs a fraction, and
/// nothing hangs on how a platform prints one.
/// </remarks>
public static class CanonicalJson
{
    /// <summary>Beyond 2^53 − 1 a reader that keeps numbers as doubles sees another number (RFC 8785, 3.2.2.3 and appendix B).</summary>
    private const long MaxWholeNumber = (1L << 53) - 1;

    private static readonly SearchValues<char> Escapes = SearchValues.Create([.. "\"\\", .. Enumerable.Range(0, ' ').Select(code => (char)code)]);

    /// <summary>Half a surrogate pair has no bytes, and a stand-in would make two texts one.</summary>
    private static readonly UTF8Encoding Utf8 = new(encoderShouldEmitUTF8Identifier: false, throwOnInvalidBytes: true);

    /// <exception cref="ArgumentException">A fraction, a whole number beyond 2^53 − 1, or text that is no Unicode.</exception>
    public static byte[] Bytes(JsonNode? node)
    {
        var text = new StringBuilder();
        Write(node, text);
        return Bytes(text);
    }

    /// <summary>The bytes of a text that was put together in canonical form.</summary>
    /// <exception cref="ArgumentException">It is no Unicode.</exception>
    public static byte[] Bytes(StringBuilder text) => Utf8.GetBytes(text.ToString());

    private static void Write(JsonNode? node, StringBuilder text)
    {
        switch (node?.GetValueKind() ?? JsonValueKind.Null)
        {
            case JsonValueKind.Object: WriteObject(node!.AsObject(), text); break;
            case JsonValueKind.Array: WriteArray(node!.AsArray(), text); break;
            case JsonValueKind.String: WriteString(node!.GetValue<string>(), text); break;
            case JsonValueKind.Number: text.Append(WholeNumber(node!)); break;
            case var word: text.Append(word.ToString().ToLowerInvariant()); break;
        }
    }

    private static void WriteObject(JsonObject members, StringBuilder text)
    {
        text.Append('{');
        foreach (var (index, member) in members.OrderBy(member => member.Key, StringComparer.Ordinal).Index())
        {
            text.Append(index == 0 ? "" : ",");
            WriteString(member.Key, text);
            text.Append(':');
            Write(member.Value, text);
        }
        text.Append('}');
    }

    private static void WriteArray(JsonArray items, StringBuilder text)
    {
        text.Append('[');
        foreach (var (index, item) in items.Index())
        {
            text.Append(index == 0 ? "" : ",");
            Write(item, text);
        }
        text.Append(']');
    }

    /// <summary>A text in its quotes.</summary>
    public static void WriteString(string value, StringBuilder text)
    {
        text.Append('"');
        var rest = value.AsSpan();
        while (rest.IndexOfAny(Escapes) is >= 0 and var plain)
        {
            text.Append(rest[..plain]).Append(Escaped(rest[plain]));
            rest = rest[(plain + 1)..];
        }
        text.Append(rest).Append('"');
    }

    /// <summary>RFC 8785, 3.2.2.2: two-letter escapes where JSON has them, \u00xx for the other controls, all else as it is.</summary>
    private static string Escaped(char letter) => letter switch
    {
        '"' => "\\\"",
        '\\' => "\\\\",
        '\b' => "\\b",
        '\f' => "\\f",
        '\n' => "\\n",
        '\r' => "\\r",
        '\t' => "\\t",
        _ => $"\\u{(int)letter:x4}",
    };

    private static string WholeNumber(JsonNode number)
    {
        var written = number.ToJsonString();
        return long.TryParse(written, NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture, out var whole) && Math.Abs(whole) <= MaxWholeNumber
            ? whole.ToString(CultureInfo.InvariantCulture)
            : throw new ArgumentException($"{written} has no place in a row of evidence: give a whole number of at most {MaxWholeNumber}, in a smaller unit where there is a fraction.");
    }
}
