using System.Text.RegularExpressions;

namespace Pourwright.Faults.Garbage;

/// <summary>JSON in which a value is one that nobody means, or that is none any more.</summary>
internal static partial class OddJson
{
    private const int DeepNesting = 2000;

    private static readonly string[] Values =
    [
        "null", "true", "[]", "{}", "-1", "0", "1e999", "-1e999", "9223372036854775808", "1.5", "\"NaN\"", "\"Infinity\"", "\"\"", "\"\\u0000\"", "\"\\ud800\"", "\"\\ud83e\\udeb5\"",
        "\"2026-02-30T25:61:00Z\"", "\"9999-12-31T23:59:59.999999999Z\"", "\"0001-01-01T00:00:00Z\"", "\"315576000001s\"", "\"-0.5s\"", "\"studios/../x\"", "[[[]]]", "{\"@type\": \"x\"}",
        $"\"{new string('x', 100_000)}\"",
    ];

    public static string Of(string json, Random random) => random.Next(8) switch
    {
        0 => Values[random.Next(Values.Length)],
        1 => json + json,
        2 => $"{string.Concat(Enumerable.Repeat("{\"a\":", DeepNesting))}1{new string('}', DeepNesting)}",
        3 => json.Replace('"', '\''),
        4 => json.Length > 2 ? $"{json[..^1]}, {json[1..]}" : "{\"noSuchField\": 1}",
        _ => WithOddValue(json, random),
    };

    private static string WithOddValue(string json, Random random)
    {
        if (AnyValue().Matches(json) is not { Count: > 0 } values) return Values[random.Next(Values.Length)];
        var value = values[random.Next(values.Count)];
        return $"{json[..value.Index]}: {Values[random.Next(Values.Length)]}{json[(value.Index + value.Length)..]}";
    }

    [GeneratedRegex(""": ?("[^"]*"|-?[0-9.]+|true|false)""")]
    private static partial Regex AnyValue();
}
