using Kind = Pourwright.V1.PrepTask.Types.Kind;

namespace Pourwright.Studio.Classes.Prep;

/// <summary>A task that is open past its time, with what a person must know of it.</summary>
public sealed record OverdueTask
{
    public required string Studio { get; init; }
    public required string Site { get; init; }
    public required string TimeZone { get; init; }
    public required string SiteDisplayName { get; init; }
    public required Kind Kind { get; init; }
    public required long DueMs { get; init; }
    public required string ClassDisplayName { get; init; }
}
