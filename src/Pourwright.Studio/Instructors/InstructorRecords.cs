using System.Globalization;
using Pourwright.Studio.Sites;
using Pourwright.V1;
using Date = Google.Type.Date;

namespace Pourwright.Studio.Instructors;

/// <summary>A row of `instructors` with its rows of `instructor_offerings`.</summary>
public sealed record InstructorRecord
{
    public required string Name { get; init; }
    public required string Studio { get; init; }
    public required string DisplayName { get; init; }

    /// <summary>Empty for none.</summary>
    public required string Email { get; init; }
    public required string HomeSite { get; init; }

    /// <summary>Bits, see <see cref="Sites.Weekdays"/>.</summary>
    public required int Weekdays { get; init; }
    public required int DaysAWeek { get; init; }

    /// <summary>One way from home.</summary>
    public required int FarthestMinutes { get; init; }
    public required string Etag { get; init; }

    /// <summary>What the person may teach, in the order given.</summary>
    public IReadOnlyList<string> Offerings { get; init; } = [];

    public Instructor ToProto() => new()
    {
        Name = Name,
        DisplayName = DisplayName,
        Email = Email,
        Offerings = { Offerings },
        HomeSite = HomeSite,
        Weekdays = { Sites.Weekdays.List(Weekdays) },
        WeeklyDayCount = DaysAWeek,
        FarthestTravelDuration = WholeMinutes.ToDuration(FarthestMinutes),
        Etag = Etag,
    };
}

/// <summary>A row of `absences`: days, the last one included.</summary>
public sealed record AbsenceRecord
{
    public required string Name { get; init; }
    public required string Instructor { get; init; }

    /// <summary>yyyy-MM-dd, as the end.</summary>
    public required string StartDate { get; init; }
    public required string EndDate { get; init; }
    public required string Reason { get; init; }

    public DateOnly Start() => Day(StartDate);

    /// <summary>The last day away.</summary>
    public DateOnly End() => Day(EndDate);

    public Absence ToProto() => new() { Name = Name, StartDate = ToDate(Start()), EndDate = ToDate(End()), Reason = Reason };

    internal static string Column(DateOnly day) => day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    private static DateOnly Day(string column) => DateOnly.ParseExact(column, "yyyy-MM-dd", CultureInfo.InvariantCulture);

    private static Date ToDate(DateOnly day) => new() { Year = day.Year, Month = day.Month, Day = day.Day };
}
