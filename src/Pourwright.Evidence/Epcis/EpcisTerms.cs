namespace Pourwright.Evidence.Epcis;

/// <summary>Words of the standard vocabulary as web addresses, and other names in the one form the event hash takes.</summary>
public sealed class EpcisTerms(EpcisPrefixes prefixes)
{
    public const string BizStep = "https://ref.gs1.org/cbv/BizStep-";
    public const string Disposition = "https://ref.gs1.org/cbv/Disp-";
    public const string TransactionType = "https://ref.gs1.org/cbv/BTT-";
    public const string PartyType = "https://ref.gs1.org/cbv/SDT-";
    public const string Component = "https://ref.gs1.org/cbv/Comp-";
    public const string Measurement = "https://gs1.org/voc/";

    /// <summary>How the vocabulary was written before it had web addresses.</summary>
    private static readonly (string Urn, string Web)[] Older =
    [
        ("urn:epcglobal:cbv:bizstep:", BizStep),
        ("urn:epcglobal:cbv:disp:", Disposition),
        ("urn:epcglobal:cbv:btt:", TransactionType),
        ("urn:epcglobal:cbv:sdt:", PartyType),
    ];

    /// <summary>The bare word of an event's type, also where it came with a prefix or as an address.</summary>
    public static string EventType(string type) => type[(type.LastIndexOfAny(['/', ':']) + 1)..];

    /// <summary>A bare word of a vocabulary gets its address; anything else its canonical form.</summary>
    public string Expanded(string word, string vocabulary) => word.Contains(':', StringComparison.Ordinal) ? Canonical(word) : vocabulary + word;

    public string Canonical(string value)
    {
        foreach (var (urn, web) in Older)
            if (value.StartsWith(urn, StringComparison.Ordinal))
                return web + value[urn.Length..];
        var name = prefixes.Split(value) is { } split ? split.Namespace + split.Local : value;
        return EpcUri.ToDigitalLink(name) ?? DigitalLinkForm.Canonical(name) ?? name;
    }
}
