using Pourwright.Studio.Names;

namespace Pourwright.Studio.Pieces;

/// <summary>Where a page of checks or steps ended: its time, then when it was written down, then its name.</summary>
internal sealed record EventKey(long EventMs, long RecordMs, string Name)
{
    public static PageKey Of(long eventMs, long recordMs, string name) => new(eventMs, $"{recordMs} {name}");

    public static EventKey After(PageRequest page) =>
        page.After is { } after && after.Text.Split(' ', 2) is [var record, var name] && long.TryParse(record, out var recordMs)
            ? new(after.Number, recordMs, name)
            : new(long.MinValue, long.MinValue, "");
}
