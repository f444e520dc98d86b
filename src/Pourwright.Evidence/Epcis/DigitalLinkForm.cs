using System.Text.RegularExpressions;

namespace Pourwright.Evidence.Epcis;

/// <summary>GS1 Digital Links in the one form the event hash takes: GS1's own domain, the finest level, no query.</summary>
public static partial class DigitalLinkForm
{
    /// <summary>Short words that links may carry in place of a primary key's number.</summary>
    private static readonly Dictionary<string, string> Words = new()
    {
        ["sscc"] = "00", ["gtin"] = "01", ["gdti"] = "253", ["gcn"] = "255", ["ginc"] = "401", ["gsin"] = "402", ["gln"] = "414",
        ["party"] = "417", ["grai"] = "8003", ["giai"] = "8004", ["itip"] = "8006", ["cpid"] = "8010", ["gsrnp"] = "8017", ["gsrn"] = "8018",
        ["ser"] = "21", ["lot"] = "10", ["tpx"] = "235", ["glnx"] = "254", ["cpsn"] = "8011",
    };

    /// <summary>Finest first: of several qualifiers the first that is there stays.</summary>
    private static readonly Dictionary<string, string[]> Qualifiers = new()
    {
        ["01"] = ["21", "10", "235"], ["414"] = ["254"], ["8006"] = ["21", "10"], ["8010"] = ["8011"],
    };

    /// <summary>Null for whatever is no Digital Link: an own address without a GS1 key stays as it is.</summary>
    public static string? Canonical(string uri)
    {
        if (!WebAddress().IsMatch(uri))
            return null;
        var segments = uri.Split('?', '#')[0].Split('/').Skip(3).ToArray();
        var at = Array.FindIndex(segments, segment => IsKey(Number(segment)));
        while (at >= 0 && !(at + 1 < segments.Length && Fits(Number(segments[at]), segments[at + 1])))
            at = Array.FindIndex(segments, at + 1, segment => IsKey(Number(segment)));
        return at < 0 ? null : Written(Number(segments[at]), segments[(at + 1)..]);
    }

    private static string Written(string key, string[] rest)
    {
        var pairs = rest.Skip(1).Chunk(2).Where(pair => pair.Length == 2).ToDictionary(pair => Number(pair[0]), pair => pair[1]);
        var finest = Qualifiers.GetValueOrDefault(key)?.FirstOrDefault(pairs.ContainsKey);
        var value = key == "01" ? rest[0].PadLeft(14, '0') : rest[0];
        return $"https://id.gs1.org/{key}/{value}{(finest is null ? "" : $"/{finest}/{pairs[finest]}")}";
    }

    private static string Number(string segment) => Words.GetValueOrDefault(segment, segment);

    private static bool IsKey(string number) => KeyForm(number) is not null;

    private static bool Fits(string key, string value) => Regex.IsMatch(value, $"^{KeyForm(key)}$");

    private static string? KeyForm(string number) => number switch
    {
        "00" or "8017" or "8018" => @"\d{18}",
        "01" => @"(\d{8}|\d{12,14})",
        "253" => @"\d{13}.{0,17}",
        "255" => @"\d{13,25}",
        "402" => @"\d{17}",
        "414" or "417" => @"\d{13}",
        "8003" => @"0\d{13}.{0,16}",
        "8006" => @"\d{18}",
        "401" or "8004" or "8010" => ".{1,90}",
        _ => null,
    };

    [GeneratedRegex("^https?://[^/]+/")]
    private static partial Regex WebAddress();
}
