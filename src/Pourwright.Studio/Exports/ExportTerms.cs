using System.Security.Cryptography;
using System.Text;
using Pourwright.Evidence.Epcis;
using Pourwright.Studio.Names;

namespace Pourwright.Studio.Exports;

/// <summary>How the studio's things are named outside: by the addresses on their labels, and people by ids.</summary>
/// <param name="key">Secret of the node: with it an id can be made of a name, and without it not even tried.</param>
/// <param name="zones">IANA zone of each site.</param>
public sealed class ExportTerms(string studio, byte[] key, IReadOnlyDictionary<string, string> zones)
{
    private const string PersonPrefix = "person-";

    /// <summary>29^8 = 5.0e11 ids: among a thousand people two share one with a chance of 1e6 / 2 / 5.0e11 = 1e-6.</summary>
    private const int PersonLength = 8;

    public string ZoneOf(string site) => zones[site];

    public Thing Studio => Named(ThingKind.Party, studio);

    /// <summary>By the supplier's own key where its label carried one.</summary>
    public static Thing Lot(string name, string gtin, string supplierLotCode) =>
        Named(ThingKind.Lot, name) with { Gtin = gtin.Length == 0 ? null : gtin, SupplierLot = supplierLotCode };

    /// <summary>What a container held from one filling to the next; its address is the container's, and beyond it which.</summary>
    public static Thing Contents(string container, int number) => Named(ThingKind.Fill, $"{container}#contents-{number}");

    /// <summary>Something done, named after what came of it.</summary>
    public static Thing Act(string made) => Named(ThingKind.Act, made);

    public static Thing Named(ThingKind kind, string name) => new(kind, ResourceNames.IdOf(name)) { Resource = name };

    /// <summary>Null where nobody is named.</summary>
    public Thing? Person(string? name) => string.IsNullOrWhiteSpace(name) ? null : new(ThingKind.Party, PersonId(name));

    /// <summary>The same in every export of this node; spellings that differ in case alone share it.</summary>
    public string PersonId(string name)
    {
        var hash = HMACSHA256.HashData(key, Encoding.UTF8.GetBytes($"{studio}\n{name.Trim().ToUpperInvariant()}"));
        var letters = new StringBuilder(PersonPrefix);
        for (var rest = BitConverter.ToUInt64(hash); letters.Length < PersonPrefix.Length + PersonLength; rest /= (ulong)ResourceNames.IdAlphabet.Length)
            letters.Append(ResourceNames.IdAlphabet[(int)(rest % (ulong)ResourceNames.IdAlphabet.Length)]);
        return letters.ToString();
    }
}
