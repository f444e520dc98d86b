using Pourwright.Studio.Classes.Prep;

namespace Pourwright.Studio.Classes.Enrolments;

/// <summary>What decides who gets a seat: the class, its sessions, everybody's place in it. Times in Unix ms.</summary>
public sealed record ClassSeats
{
    public required ClassRecord Class { get; init; }
    public required IReadOnlyList<SessionRecord> Sessions { get; init; }

    /// <summary>First come first.</summary>
    public required IReadOnlyList<EnrolmentRecord> Enrolments { get; init; }

    /// <summary>Local days before the pour.</summary>
    public required int MouldPrepDays { get; init; }
    public required ClassOptions Options { get; init; }
    public required long NowMs { get; init; }

    public int Free => Class.Seats - SeatCounts.Of(Enrolments).Held;

    /// <summary>Null while it has none.</summary>
    public SessionRecord? Pour => Sessions.FirstOrDefault(session => session is { IsLive: true, Kind: V1.Session.Types.Kind.Pour });

    public bool HasBegun => Pour?.StartMs <= NowMs;

    /// <summary>Moulds and wood are due, or were.</summary>
    public bool IsPrepDue => Pour is { } pour && NowMs >= PrepTasks.PrepDueMs(pour, MouldPrepDays, Options);

    /// <summary>Who waits and can come to every session.</summary>
    public IEnumerable<EnrolmentRecord> Fitting => Enrolments
        .Where(one => one.State == V1.Enrolment.Types.State.Waiting && one.Misfits(Sessions).Count == 0);
}
