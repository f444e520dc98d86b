using Pourwright.Studio.Names;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Classes;

/// <summary>A row of `sessions`: what was agreed upon by the clock of a site, and the instants that follow from it.</summary>
public sealed record SessionRecord
{
    public required string Name { get; init; }
    public required string Class { get; init; }
    public required Session.Types.Kind Kind { get; init; }
    public required string Site { get; init; }
    public string? Bench { get; init; }
    public required long StartMs { get; init; }
    public required long EndMs { get; init; }

    /// <summary>At the site, yyyy-MM-dd.</summary>
    public required string LocalDate { get; init; }

    /// <summary>Minute of the local day.</summary>
    public required int LocalStartMinute { get; init; }

    /// <summary>IANA name.</summary>
    public required string TimeZone { get; init; }

    /// <summary>Of the time zone data, such as `2025b`.</summary>
    public required string TzdbVersion { get; init; }
    public required string Instructor { get; init; }

    /// <summary>Given when it is saved, as are sequence and reason: see <see cref="SessionChanges"/>.</summary>
    public Session.Types.State State { get; init; } = Session.Types.State.Confirmed;

    /// <summary>SEQUENCE of RFC 5545 3.8.7.4: from 0, never falls.</summary>
    public int Sequence { get; init; }
    public string ChangeReason { get; init; } = "";

    /// <summary>When it was written last; given when it is saved.</summary>
    public long ChangeMs { get; init; }

    /// <summary>Who closed it; empty while nobody has.</summary>
    public string Closer { get; init; } = "";
    public long? CloseMs { get; init; }

    public bool IsLive => State != Session.Types.State.Cancelled;

    /// <summary>A session that begins at a local time, and lasts elapsed minutes from there.</summary>
    /// <exception cref="Refusals.Refusal">LOCAL_TIME_MISSING, LOCAL_TIME_TWICE; see <see cref="LocalTimes.Resolve"/>.</exception>
    public static SessionRecord At(
        string castingClass, Session.Types.Kind kind, SiteRecord site, string? bench, DateOnly date, int startMinute, int lengthMinutes,
        string instructor, Fold? fold = null)
    {
        var start = LocalTimes.Resolve(site.TimeZone, date, startMinute, fold);
        return new()
        {
            Name = NameOf(castingClass, kind),
            Class = castingClass,
            Kind = kind,
            Site = site.Name,
            Bench = bench,
            StartMs = start.UtcMs,
            EndMs = start.UtcMs + lengthMinutes * 60_000L,
            LocalDate = Days.ToColumn(date),
            LocalStartMinute = startMinute,
            TimeZone = site.TimeZone,
            TzdbVersion = start.TzdbVersion,
            Instructor = instructor,
        };
    }

    /// <summary>`studios/{studio}/classes/{class}/sessions/pour`, and so on.</summary>
    public static string NameOf(string castingClass, Session.Types.Kind kind) =>
        ResourceKind.Session.Under(castingClass, kind.ToString().ToLowerInvariant());

    public Session ToProto() => new()
    {
        Name = Name,
        Kind = Kind,
        Site = Site,
        Bench = Bench ?? "",
        Date = Days.ToProto(LocalDate),
        StartTimeOfDay = WholeMinutes.ToTimeOfDay(LocalStartMinute),
        TimeZone = TimeZone,
        TzdbVersion = TzdbVersion,
        StartTime = Instants.ToTimestamp(StartMs),
        EndTime = Instants.ToTimestamp(EndMs),
        Instructor = Instructor,
        State = State,
        RevisionCount = Sequence,
        ChangeReason = ChangeReason,
        CloseTime = CloseMs is { } closeMs ? Instants.ToTimestamp(closeMs) : null,
        Closer = Closer,
    };
}
