using Pourwright.Studio.Refusals;
using Pourwright.V1;

namespace Pourwright.Studio.Sites;

/// <summary>When a site may be taught at: weekdays as bits, minutes of the local day.</summary>
internal sealed record TeachingTimes(int OpeningDays, int MorningStartMinute, int MorningEndMinute, int AfternoonStartMinute, int AfternoonEndMinute)
{
    /// <summary>09:00 to 13:00 and 14:00 to 18:00 on every day: common practice, no source.</summary>
    public static readonly TeachingTimes Default = new(Weekdays.All, 9 * 60, 13 * 60, 14 * 60, 18 * 60);

    /// <summary>What is said, and the default where nothing is.</summary>
    public static TeachingTimes Of(TeachingHours? hours) => hours is null ? Default : new(
        Weekdays.BitsOrAll(hours.OpeningDays),
        WholeMinutes.Of(hours.MorningStart) ?? Default.MorningStartMinute,
        WholeMinutes.Of(hours.MorningEnd) ?? Default.MorningEndMinute,
        WholeMinutes.Of(hours.AfternoonStart) ?? Default.AfternoonStartMinute,
        WholeMinutes.Of(hours.AfternoonEnd) ?? Default.AfternoonEndMinute);

    /// <summary>What a change says, and the present hours where it says nothing.</summary>
    public static TeachingHours Over(TeachingHours current, TeachingHours change) => new()
    {
        OpeningDays = { change.OpeningDays.Count > 0 ? change.OpeningDays : current.OpeningDays },
        MorningStart = change.MorningStart ?? current.MorningStart,
        MorningEnd = change.MorningEnd ?? current.MorningEnd,
        AfternoonStart = change.AfternoonStart ?? current.AfternoonStart,
        AfternoonEnd = change.AfternoonEnd ?? current.AfternoonEnd,
    };

    /// <summary>The day must go on: morning, then afternoon, none of them empty.</summary>
    public static void Check(FieldChecks checks, TeachingHours? hours)
    {
        const string path = "site.teaching_hours";
        if (hours is null) return;
        var times = Of(hours);
        checks
            .Days($"{path}.opening_days", hours.OpeningDays)
            .TimeOfDay($"{path}.morning_start", hours.MorningStart)
            .TimeOfDay($"{path}.morning_end", hours.MorningEnd)
            .TimeOfDay($"{path}.afternoon_start", hours.AfternoonStart)
            .TimeOfDay($"{path}.afternoon_end", hours.AfternoonEnd)
            .Require(times.MorningEndMinute > times.MorningStartMinute, $"{path}.morning_end", $"must be after {Clock(times.MorningStartMinute)}, the start of the morning.", Clock(times.MorningEndMinute))
            .Require(times.AfternoonStartMinute >= times.MorningEndMinute, $"{path}.afternoon_start", $"must not be before {Clock(times.MorningEndMinute)}, the end of the morning.", Clock(times.AfternoonStartMinute))
            .Require(times.AfternoonEndMinute > times.AfternoonStartMinute, $"{path}.afternoon_end", $"must be after {Clock(times.AfternoonStartMinute)}, the start of the afternoon.", Clock(times.AfternoonEndMinute));
    }

    private static string Clock(int minute) => $"{minute / 60:00}:{minute % 60:00}";
}
