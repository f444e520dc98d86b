using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Classes.Prep;

/// <summary>A row of `tasks`.</summary>
public sealed record PrepTaskRecord
{
    public required string Name { get; init; }
    public required string Class { get; init; }
    public required string Site { get; init; }
    public required PrepTask.Types.Kind Kind { get; init; }
    public required long DueMs { get; init; }

    /// <summary>Null while it is open.</summary>
    public long? DoneMs { get; init; }
    public string DoneBy { get; init; } = "";

    public PrepTask ToProto() => new()
    {
        Name = Name,
        Kind = Kind,
        Site = Site,
        DueTime = Instants.ToTimestamp(DueMs),
        CompleteTime = Instants.ToTimestamp(DoneMs),
        Worker = DoneBy,
    };
}
