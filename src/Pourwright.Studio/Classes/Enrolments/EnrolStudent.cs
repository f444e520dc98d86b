using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;
using Pourwright.V1;
using State = Pourwright.V1.Enrolment.Types.State;

namespace Pourwright.Studio.Classes.Enrolments;

/// <summary>A student takes a seat in every session, or waits for one.</summary>
public static class EnrolStudent
{
    private const int DatesMax = 100;

    /// <exception cref="Refusal">FIELD_INVALID, all fields at once.</exception>
    public static void CheckShape(EnrolStudentRequest request)
    {
        var checks = new FieldChecks()
            .Name("parent", request.Parent, ResourceKind.CastingClass)
            .Name("student", request.Student, ResourceKind.Student,
                ResourceKind.CastingClass.Matches(request.Parent) ? ResourceNames.StudioOf(request.Parent) : null)
            .NewId("enrolment_id", request.EnrolmentId)
            .Require(request.AcceptedDates.Count <= DatesMax, "accepted_dates", $"must be at most {DatesMax} days.", $"{request.AcceptedDates.Count}");
        for (var i = 0; i < request.AcceptedDates.Count; i++) checks.Day($"accepted_dates[{i}]", request.AcceptedDates[i], required: true);
        checks.ThrowIfAny();
    }

    /// <exception cref="Refusal">CLASS_STATE, STUDENT_ENROLLED, SEAT_NEEDS_EVERY_SESSION.</exception>
    public static EnrolmentRecord Decide(string name, EnrolStudentRequest request, ClassSeats seats)
    {
        RequireTaking(seats);
        if (seats.Enrolments.FirstOrDefault(one => one.IsLive && one.Student == request.Student) is { } already)
            throw Refusal.Precondition(Reasons.StudentEnrolled,
                $"Student '{request.Student}' has a place in '{seats.Class.Name}' already: '{already.Name}' is {already.State}.",
                ("student", request.Student), ("casting_class", seats.Class.Name), ("enrolment", already.Name), ("state", $"{already.State}"));
        var enrolment = new EnrolmentRecord
        {
            Name = name,
            Class = seats.Class.Name,
            Student = request.Student,
            State = seats.Free > 0 && !seats.Fitting.Any() ? State.Enrolled : State.Waiting,
            AcceptedDates = string.Join(' ', request.AcceptedDates.Select(date => Days.ToColumn(Days.Of(date))).Distinct().Order()),
            CreatedMs = seats.NowMs,
        };
        RequireEverySession(enrolment, seats);
        return enrolment;
    }

    /// <exception cref="Refusal">CLASS_STATE where nobody can take a seat any more.</exception>
    internal static void RequireTaking(ClassSeats seats)
    {
        if (!seats.Class.IsOpen)
            throw Refusal.Precondition(Reasons.ClassState,
                $"Class '{seats.Class.Name}' is {seats.Class.State}: nobody takes a seat in it any more. Choose another class.",
                ("casting_class", seats.Class.Name), ("state", $"{seats.Class.State}"));
        if (seats is { HasBegun: true, Pour: { } pour })
            throw Refusal.Precondition(Reasons.ClassState,
                $"The pour of class '{seats.Class.Name}' began at {Instants.Utc(pour.StartMs)}: nobody takes a seat in it any more. Choose another class.",
                ("casting_class", seats.Class.Name), ("start_time", Instants.Utc(pour.StartMs)));
    }

    private static void RequireEverySession(EnrolmentRecord enrolment, ClassSeats seats)
    {
        if (enrolment.Misfits(seats.Sessions) is not { Count: > 0 } misfits) return;
        var days = string.Join(", ", misfits.Select(session => $"{session.Kind} {session.LocalDate}"));
        throw Refusal.Precondition(Reasons.SeatNeedsEverySession,
            $"A seat in '{seats.Class.Name}' is one in every session, and the accepted days leave out {days}: a piece that is poured must be worked on as well. Accept these days, or choose another class.",
            ("casting_class", seats.Class.Name), ("sessions", days));
    }
}
