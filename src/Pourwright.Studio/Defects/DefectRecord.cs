using System.Text.Json;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Defects;

/// <summary>A row of `defects`: inserted once, never changed.</summary>
public sealed record DefectRecord
{
    public required string Name { get; init; }
    public required string Studio { get; init; }
    public required string Piece { get; init; }
    public required Defect.Types.Kind Kind { get; init; }
    public required long FindMs { get; init; }
    public required string Finder { get; init; }
    public string Note { get; init; } = "";

    /// <summary>JSON list of addresses.</summary>
    public string PhotoUris { get; init; } = "[]";

    public Defect ToProto() => new()
    {
        Name = Name,
        Piece = Piece,
        Kind = Kind,
        FindTime = Instants.ToTimestamp(FindMs),
        Finder = Finder,
        Note = Note,
        PhotoUris = { JsonSerializer.Deserialize<string[]>(PhotoUris) },
    };
}
