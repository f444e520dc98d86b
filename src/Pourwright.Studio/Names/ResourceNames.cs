using System.Security.Cryptography;

namespace Pourwright.Studio.Names;

/// <summary>Names such as `studios/elm/sites/north/benches/b-1`: collections and ids in turn.</summary>
public static class ResourceNames
{
    /// <summary>The rule an id obeys: 3 to 63 characters, so that it fits a label and a DNS label.</summary>
    public const string IdRule = "[a-z][a-z0-9-]{2,62}";

    /// <summary>Digits and letters that nobody mistakes for another in handwriting or over a noisy room: no 0 o, 1 i l, u v.</summary>
    internal const string IdAlphabet = "23456789abcdefghjkmnpqrstwxyz";

    public static bool IsId(string id) =>
        id.Length is >= 3 and <= 63 && char.IsAsciiLetterLower(id[0])
        && !id.AsSpan().ContainsAnyExcept(IdCharacters);

    /// <summary>The last id: "b-1".</summary>
    public static string IdOf(string name) => name[(name.LastIndexOf('/') + 1)..];

    /// <summary>The name without its last collection and id; "" for a studio.</summary>
    public static string ParentOf(string name)
    {
        var collectionEnd = name.LastIndexOf('/');
        var parentEnd = collectionEnd <= 0 ? -1 : name.LastIndexOf('/', collectionEnd - 1);
        return parentEnd < 0 ? "" : name[..parentEnd];
    }

    /// <summary>The studio a name belongs to: `studios/elm`.</summary>
    public static string StudioOf(string name) => string.Join('/', name.Split('/', 3)[..2]);

    /// <summary>The site a name belongs to: `studios/elm/sites/north`.</summary>
    public static string SiteOf(string name) => string.Join('/', name.Split('/', 5)[..4]);

    /// <summary>Is <paramref name="name"/> somewhere below <paramref name="parent"/>?</summary>
    public static bool IsUnder(string name, string parent) =>
        name.Length > parent.Length && name[parent.Length] == '/' && name.StartsWith(parent, StringComparison.Ordinal);

    /// <summary>A new readable id: the prefix and two groups of four, such as "piece-7k3f-9qtm".</summary>
    /// <remarks>29^8 = 5.0e11 ids: among a million of one kind a clash has a chance of about 1e12 / 2 / 5.0e11 = 1 in all; a clash is refused, never overwritten.</remarks>
    public static string NewId(string prefix) =>
        $"{prefix}-{RandomNumberGenerator.GetString(IdAlphabet, 4)}-{RandomNumberGenerator.GetString(IdAlphabet, 4)}";

    private static readonly System.Buffers.SearchValues<char> IdCharacters =
        System.Buffers.SearchValues.Create("abcdefghijklmnopqrstuvwxyz0123456789-");
}
