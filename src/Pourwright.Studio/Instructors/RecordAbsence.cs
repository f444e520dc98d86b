using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.V1;
using Date = Google.Type.Date;

namespace Pourwright.Studio.Instructors;

/// <summary>Says that an instructor is away for some days.</summary>
public static class RecordAbsence
{
    /// <summary>A year and its leap day: who is away for longer has left.</summary>
    private const int DaysMax = 366;

    /// <summary>Checks the shape of a request.</summary>
    /// <exception cref="Refusal">FIELD_INVALID, all fields at once.</exception>
    public static void Check(CreateAbsenceRequest request)
    {
        var absence = request.Absence ?? new();
        var (start, end) = (Day(absence.StartDate), Day(absence.EndDate));
        new FieldChecks()
            .Name("parent", request.Parent, ResourceKind.Instructor)
            .NewId("absence_id", request.AbsenceId)
            .Text("absence.reason", absence.Reason, 80, 0)
            .Require(start is not null, "absence.start_date", "must be a whole date of the calendar.", Shown(absence.StartDate))
            .Require(end is not null, "absence.end_date", "must be a whole date of the calendar.", Shown(absence.EndDate))
            .Require(start is null || end is null || (end >= start && end.Value.DayNumber - start.Value.DayNumber < DaysMax), "absence.end_date",
                $"must not be before the first day, and at most {DaysMax} days may be away.", Shown(absence.EndDate))
            .ThrowIfAny();
    }

    /// <summary>The row of a request that passed <see cref="Check"/>.</summary>
    public static AbsenceRecord Decide(string name, string instructor, Absence absence) => new()
    {
        Name = name,
        Instructor = instructor,
        StartDate = AbsenceRecord.Column(Day(absence.StartDate)!.Value),
        EndDate = AbsenceRecord.Column(Day(absence.EndDate)!.Value),
        Reason = absence.Reason,
    };

    private static DateOnly? Day(Date? date) =>
        date is { Year: >= 1 and <= 9999, Month: >= 1 and <= 12, Day: >= 1 } && date.Day <= DateTime.DaysInMonth(date.Year, date.Month)
            ? new DateOnly(date.Year, date.Month, date.Day)
            : null;

    private static string? Shown(Date? date) => date is null ? null : $"{date.Year:0000}-{date.Month:00}-{date.Day:00}";
}
