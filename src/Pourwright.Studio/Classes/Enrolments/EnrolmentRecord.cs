using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;
using Pourwright.V1;
using State = Pourwright.V1.Enrolment.Types.State;

namespace Pourwright.Studio.Classes.Enrolments;

/// <summary>A row of `enrolments`, with the student's name.</summary>
public sealed record EnrolmentRecord
{
    /// <summary>The order of the waiting list; given when it is saved.</summary>
    public long Sequence { get; init; }
    public required string Name { get; init; }
    public required string Class { get; init; }
    public required string Student { get; init; }
    public string StudentDisplayName { get; init; } = "";

    /// <summary>See <see cref="StudentRecord.FormerNames"/>.</summary>
    public string StudentFormerNames { get; init; } = "";

    /// <summary>Somebody of this class who was forgotten bore a name of this student.</summary>
    public bool NameShared { get; init; }
    public required State State { get; init; }

    /// <summary>yyyy-MM-dd, joined by spaces; empty is any.</summary>
    public string AcceptedDates { get; init; } = "";
    public long? OfferedMs { get; init; }
    public long? OfferExpiresMs { get; init; }
    public required long CreatedMs { get; init; }

    /// <summary>JSON list of Caution.</summary>
    public string Cautions { get; init; } = "[]";

    /// <summary>Keeps a seat: has it, or was offered it.</summary>
    public bool HoldsSeat => State is State.Enrolled or State.Offered;

    public bool IsLive => HoldsSeat || State is State.Waiting;

    /// <summary>All that a label may call the student by name.</summary>
    public IEnumerable<string> Names => [StudentDisplayName, .. StudentRecord.Lines(StudentFormerNames)];

    private IEnumerable<string> Dates => AcceptedDates.Split(' ', StringSplitOptions.RemoveEmptyEntries);

    /// <summary>The sessions that lie on a day the student does not accept: a seat is one in every session.</summary>
    public IReadOnlyList<SessionRecord> Misfits(IEnumerable<SessionRecord> sessions) => AcceptedDates.Length == 0
        ? []
        : [.. sessions.Where(session => session.IsLive && !Dates.Contains(session.LocalDate))];

    public Enrolment ToProto(IEnumerable<SessionRecord> sessions) => new()
    {
        Name = Name,
        Student = Student,
        StudentDisplayName = StudentDisplayName,
        State = State,
        AcceptedDates = { Dates.Select(date => Days.ToProto(Days.FromColumn(date))) },
        CreateTime = Instants.ToTimestamp(CreatedMs),
        OfferTime = Instants.ToTimestamp(OfferedMs),
        ExpireTime = Instants.ToTimestamp(OfferExpiresMs),
        Cautions = { MessageListJson.Read<Caution>(Cautions), Misfit(sessions) },
    };

    private IEnumerable<Caution> Misfit(IEnumerable<SessionRecord> sessions)
    {
        if (!IsLive || Misfits(sessions) is not { Count: > 0 } misfits) yield break;
        var dates = string.Join(", ", misfits.Select(session => session.LocalDate));
        yield return Refusals.Cautions.Of(Reasons.SeatNeedsEverySession,
            $"A session is held on a day this student did not accept: {dates}. Ask whether it suits; a seat is one in every session.", ("dates", dates));
    }
}

/// <summary>How the seats of a class stand.</summary>
public sealed record SeatCounts(int Enrolled, int Offered, int Waiting)
{
    public static SeatCounts Of(IReadOnlyCollection<EnrolmentRecord> enrolments) => new(
        enrolments.Count(one => one.State == State.Enrolled),
        enrolments.Count(one => one.State == State.Offered),
        enrolments.Count(one => one.State == State.Waiting));

    /// <summary>Taken, or kept for an offer.</summary>
    public int Held => Enrolled + Offered;
}
