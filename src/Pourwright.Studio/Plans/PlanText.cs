using System.Globalization;
using System.Text;
using Pourwright.Studio.Names;
using LocalDays = Pourwright.Studio.Classes.Days;
using State = Pourwright.V1.Plan.Types.State;

namespace Pourwright.Studio.Plans;

/// <summary>A plan as a person reads it in the evening: what changes first, then site by site, then who has no place and why.</summary>
internal static class PlanText
{
    public static string Of(PlanRecord plan, PlannedSeason season)
    {
        var text = new StringBuilder();
        text.AppendLine(CultureInfo.InvariantCulture, $"{Head(plan)}: {Count(plan.ClassCount, "class", "classes")}, {Students(plan)}.");
        if (plan.Event is { } happened) text.AppendLine(CultureInfo.InvariantCulture, $"Because {MeetEvent.Words(EventJson.Read(happened))}: {Count(plan.MovedCount, "class", "classes")} moved, {plan.CancelledCount} given up.");
        Section(text, "What changes", plan.Placed.Where(placed => placed.Change.Length > 0).Select(placed => $"{Id(placed.Class)}: {placed.Change}."));
        foreach (var site in season.Facts.Sites)
            Section(text, site.DisplayName, plan.Placed.Where(placed => placed.Site == site.Name).Select(placed => Line(placed, season)));
        Section(text, "Without a place", plan.Classes.Where(placed => placed.Site is null).Select(left => $"{Id(left.Class)} ({Count(left.Students, "student", "students")}): {left.Reason}"));
        return text.ToString();
    }

    private static string Head(PlanRecord plan)
    {
        var first = LocalDays.FromColumn(plan.FirstDate);
        return string.Create(CultureInfo.InvariantCulture,
            $"Plan {Id(plan.Name)}, pours from {PlanWords.Day(first)} to {first.AddDays(plan.DayCount - 1):ddd d MMM yyyy}");
    }

    private static string Students(PlanRecord plan) => plan.StudentCount == plan.StudentBoundCount
        ? $"{Count(plan.StudentCount, "student", "students")}, and no plan holds more"
        : $"{Count(plan.StudentCount, "student", "students")} of at most {plan.StudentBoundCount}";

    private static string Line(PlacementRecord placed, PlannedSeason season)
    {
        var sessions = placed.Sessions.Select(session =>
            $"{PlanWords.Day(LocalDays.FromColumn(session.LocalDate))} {PlanWords.Clock(session.LocalStartMinute)} {Word(session.Kind)}");
        var people = placed.Sessions.Select(session => season.Facts.Instructors.First(who => who.Name == session.Instructor).DisplayName).Distinct();
        var spareHours = (placed.GapMs - placed.LeastGapMs) / 3_600_000.0;
        return $"{string.Join(", ", sessions)}: {Id(placed.Class)}, {Count(placed.Students, "student", "students")}, {string.Join(" and ", people)}; "
            + $"all pieces ready with {PlanWords.Percent(placed.ReadyChance)}, {PlanWords.Hours(spareHours)} to spare";
    }

    private static string Word(V1.Session.Types.Kind kind) => kind switch
    {
        V1.Session.Types.Kind.Pour => "pour",
        V1.Session.Types.Kind.Machine => "machines",
        _ => "finish",
    };

    private static void Section(StringBuilder text, string heading, IEnumerable<string> lines)
    {
        string[] all = [.. lines];
        if (all.Length == 0) return;
        text.AppendLine().AppendLine(heading);
        foreach (var line in all) text.AppendLine(CultureInfo.InvariantCulture, $"  {line}");
    }

    private static string Id(string name) => ResourceNames.IdOf(name);

    private static string Count(int count, string one, string many) => $"{count} {(count == 1 ? one : many)}";
}
