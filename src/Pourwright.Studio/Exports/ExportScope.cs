using System.Text.Json;

namespace Pourwright.Studio.Exports;

/// <summary>Which records an export tells. All that is told is told whole: an event is the same in every export.</summary>
/// <param name="FromMs">Unix ms, inclusive.</param>
/// <param name="ToMs">Unix ms, exclusive.</param>
/// <param name="Site">Null is any.</param>
public sealed record ExportScope(string Studio, long FromMs, long ToMs, string? Site)
{
    /// <summary>JSON list of names, as those below; null is any.</summary>
    public string? Lots { get; init; }
    public string? Containers { get; init; }
    public string? Mixes { get; init; }
    public string? Pieces { get; init; }

    public static string Listed(IEnumerable<string> names) => JsonSerializer.Serialize(names.Distinct().Order(StringComparer.Ordinal));
}
