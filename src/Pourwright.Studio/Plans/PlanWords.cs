using System.Globalization;
using Pourwright.Planning.Checking;
using Pourwright.Planning.Explaining;
using Pourwright.Planning.Season;
using Pourwright.Studio.Names;

namespace Pourwright.Studio.Plans;

/// <summary>Plans in words.</summary>
internal static class PlanWords
{
    /// <summary>"Mon 4 Jan".</summary>
    public static string Day(DateOnly day) => day.ToString("ddd d MMM", CultureInfo.InvariantCulture);

    /// <summary>"09:00".</summary>
    public static string Clock(int minute) => string.Create(CultureInfo.InvariantCulture, $"{minute / 60:00}:{minute % 60:00}");

    /// <summary>A chance in %; what rounds to a hundred is no certainty.</summary>
    public static string Percent(double share) => string.Create(CultureInfo.InvariantCulture, $"{Math.Floor(100 * Math.Min(share, 0.999)):0} %");

    /// <summary>Hours as people say them.</summary>
    public static string Hours(double hours) => hours < 48
        ? string.Create(CultureInfo.InvariantCulture, $"{Math.Floor(hours):0} h")
        : string.Create(CultureInfo.InvariantCulture, $"{Math.Floor(hours / 24):0} days {Math.Floor(hours % 24):0} h");

    /// <summary>What is other in a placement than it was; empty where nothing is.</summary>
    public static string Difference(PlannedSeason season, Placement before, Placement after)
    {
        List<string> parts = [];
        if (before.Site != after.Site) parts.Add($"from {Site(season, before.Site)} to {Site(season, after.Site)}");
        void Session(string what, Attendance? was, Attendance? now)
        {
            if (was == now || now is null) return;
            if (was is null) parts.Add($"{what} on {When(season, now)}");
            else if (was.Slot != now.Slot) parts.Add($"{what} from {When(season, was)} to {When(season, now)}");
            if (was is not null && was.Instructor != now.Instructor)
                parts.Add($"{what} taught by {Person(season, now.Instructor)} in place of {Person(season, was.Instructor)}");
        }
        Session("pour", before.Pour, after.Pour);
        Session("machine day", before.Machine, after.Machine);
        Session("finish", before.Finish, after.Finish);
        return string.Join("; ", parts);
    }

    /// <summary>The rules that a placement breaks, as reasons.</summary>
    public static string Broken(IEnumerable<PlanRule> rules) =>
        string.Join(", ", rules.Select(ExplanationWords.Of).Distinct());

    /// <summary>What would happen had nothing been moved.</summary>
    public static string Consequence(IEnumerable<PlanRule> rules) => string.Join(", ", rules.Select(Consequence).Distinct());

    private static string Consequence(PlanRule rule) => rule switch
    {
        PlanRule.LeastGap or PlanRule.ChanceAllReady => "its pieces would not all be hard in time",
        PlanRule.Available => "nobody would teach it",
        PlanRule.SiteOpen => "the doors would be shut",
        PlanRule.PlanerMinutes => "the planers would not do",
        PlanRule.SawMinutes => "the saws would not do",
        PlanRule.BenchPlaces => "its pieces would find no place on the bench",
        PlanRule.PourWindow => "there would be nothing to pour",
        _ => $"it would no longer keep {ExplanationWords.Of(rule)}",
    };

    private static string When(PlannedSeason season, Attendance session) =>
        $"{Day(season.Date(session.Day))} {(session.Slot % 2 == 0 ? "morning" : "afternoon")}";

    private static string Site(PlannedSeason season, int site) => ResourceNames.IdOf(season.Facts.Sites[site].Name);

    private static string Person(PlannedSeason season, int instructor) => season.Facts.Instructors[instructor].DisplayName;
}
