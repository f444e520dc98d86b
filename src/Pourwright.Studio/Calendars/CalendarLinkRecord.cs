using Pourwright.Studio.Names;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Calendars;

/// <summary>A row of `calendar_links`. Its key is not in it.</summary>
public sealed record CalendarLinkRecord
{
    public required string Name { get; init; }
    public required string Studio { get; init; }

    /// <summary>Name of a site, an instructor or a student.</summary>
    public required string Subject { get; init; }

    public required string DisplayName { get; init; }
    public required byte[] KeySha256 { get; init; }
    public required long CreateMs { get; init; }
    public long? ExpireMs { get; init; }
    public long? RevokeMs { get; init; }

    /// <summary>Whether its feed is given out; in the millisecond of the expiry it is not any more.</summary>
    public bool IsOpen(long nowMs) => RevokeMs is null && !(ExpireMs <= nowMs);

    /// <summary>What is told of it; its path is added once, where it is made.</summary>
    public CalendarLink ToProto()
    {
        var link = new CalendarLink
        {
            Name = Name,
            DisplayName = DisplayName,
            CreateTime = Instants.ToTimestamp(CreateMs),
            ExpireTime = Instants.ToTimestamp(ExpireMs),
            RevokeTime = Instants.ToTimestamp(RevokeMs),
        };
        if (ResourceKind.Site.Matches(Subject)) link.Site = Subject;
        else if (ResourceKind.Instructor.Matches(Subject)) link.Instructor = Subject;
        else link.Student = Subject;
        return link;
    }
}
