namespace Pourwright.Studio.Calendars;

/// <summary>What a calendar shows of a session of a class. No student is in it: two feeds of one session read alike.</summary>
public sealed record CalendarSession
{
    /// <summary>`studios/{studio}/classes/{class}/sessions/{session}`: never changes, whatever moves.</summary>
    public required string Name { get; init; }

    public required string ClassTitle { get; init; }
    public required string SiteTitle { get; init; }

    /// <summary>Room or bench; empty where none is named.</summary>
    public string PlaceTitle { get; init; } = "";

    public required string InstructorTitle { get; init; }

    /// <summary>IANA name of the site's zone.</summary>
    public required string TimeZone { get; init; }

    /// <summary>By the clock of the site, `yyyy-MM-dd`.</summary>
    public required string LocalDate { get; init; }

    /// <summary>Minutes from midnight by the clock of the site.</summary>
    public required int LocalStartMinute { get; init; }

    public required long StartMs { get; init; }
    public required long EndMs { get; init; }
    public bool IsCancelled { get; init; }

    /// <summary>Grows whenever time, place or state change, and when it is cancelled.</summary>
    public required int Sequence { get; init; }

    /// <summary>Why it was changed last; empty where it never was.</summary>
    public string ChangeReason { get; init; } = "";

    public required long ChangeMs { get; init; }
}
