using System.Globalization;
using Pourwright.Planning.Checking;
using Pourwright.Planning.Season;

namespace Pourwright.Planning.Explaining;

/// <summary>Explanations in plain words, with the names and dates of a season.</summary>
public sealed class ExplanationWords(SeasonCase season)
{
    /// <summary>What people are told: the answer first, then what excludes each other, then a line a proposal.</summary>
    public IReadOnlyList<string> Of(Explanation explanation)
    {
        var name = season.Classes[explanation.Class].Id;
        if (explanation.Fits is { } fits)
            return [$"{name} has a place: {Of(fits)}."];
        string[] why = explanation.Conflicts.Count == 0
            ? [$"{name} has no place: the season has no days for it."]
            : [$"{name} has no place{(explanation.EvenAlone ? ", even if nothing else were planned" : "")}: "
                + $"there is none that suits {Listed([.. explanation.Conflicts[0].Rules.Select(Of)])}."];
        return [.. why, .. explanation.Proposals.Select(proposal => $"{Of(proposal.Changes)}: then {Of(proposal.Placement)}.")];
    }

    public string Of(IReadOnlyList<Change> changes) => Capital(Listed([.. changes.Select(Of)]));

    public string Of(Placement placement) => string.Join(", ",
        $"{Site(placement.Site)}, pour {Session(placement.Pour)}", $"machines {Day(placement.Machine.Day)}")
        + (placement.Finish is { } finish ? $", finish {Session(finish)}" : "");

    public static string Of(PlanRule rule) => rule switch
    {
        PlanRule.KnownIndexes => "what the season knows",
        PlanRule.ClassOnce => "being held once",
        PlanRule.SiteAllowed => "the sites asked for",
        PlanRule.PourWindow => "the days asked for",
        PlanRule.Weekday => "the weekdays asked for",
        PlanRule.SiteOpen => "the opening days",
        PlanRule.FinishAsOffered => "the finish as offered",
        PlanRule.LeastGap or PlanRule.ChanceAllReady => "the cure time",
        PlanRule.LongestGap => "the longest time that pieces may lie",
        PlanRule.FinishNotBefore => "the wait before the finish",
        PlanRule.FinishWithin => "the time within which the finish is due",
        PlanRule.BenchPlaces => "the bench places",
        PlanRule.PlanerMinutes => "the planers",
        PlanRule.SawMinutes => "the saws",
        PlanRule.SandingPlaces => "the sanding places",
        PlanRule.Rooms => "the rooms",
        PlanRule.Qualified => "what instructors may teach",
        PlanRule.Available => "the days on which instructors come",
        PlanRule.OneClassAtATime => "instructors who teach other classes then",
        PlanRule.OneSiteADay => "instructors who are at other sites that day",
        PlanRule.DaysAWeek => "the days a week of instructors",
        PlanRule.OvernightTravel => "the way of instructors overnight",
        PlanRule.FarthestTravel => "how far instructors travel",
        _ => throw new ArgumentOutOfRangeException(nameof(rule), rule, "No words for this rule; add them here."),
    };

    public string Of(Change change) => change switch
    {
        Change.AllowWeekday c => $"let {Class(c.Class)} meet on a {c.Weekday}",
        Change.AllowPourDay c => $"let {Class(c.Class)} pour on {Day(c.Day)}",
        Change.HoldAt c => $"hold {Class(c.Class)} at {Site(c.Site)}",
        Change.LieLonger c => $"let its pieces lie for {c.Days} days",
        Change.OpenSite c => $"open {Site(c.Site)} on {Day(c.Day)}",
        Change.AddBenchPlaces c =>
            $"{c.Places} more bench {(c.Places == 1 ? "place" : "places")} at {Site(c.Site)} {Days(c.FirstDay, c.LastDay)}",
        Change.AddPlanerMinutes c => $"{c.Minutes} more minutes of a planer at {Site(c.Site)} on {Day(c.Day)}",
        Change.AddSawMinutes c => $"{c.Minutes} more minutes of a saw at {Site(c.Site)} on {Day(c.Day)}",
        Change.AddSandingPlaces c => $"{c.Places} more sanding {(c.Places == 1 ? "place" : "places")} at {Site(c.Site)} on {Day(c.Day)}",
        Change.AddRoom c => $"a further room with {c.Seats} seats at {Site(c.Site)} on {Listed([.. c.Days.Select(Day)])}",
        Change.WarmRoom c => Of(c),
        Change.Qualify c => $"{Person(c.Instructor)} learns to teach {season.Offerings[c.Offering].Id}",
        Change.CallIn c => $"{Person(c.Instructor)} comes on {Day(c.Day)}",
        Change.SendFarther c => $"{Person(c.Instructor)} travels the {c.Minutes} min to {Site(c.Site)}",
        Change.TeachMoreDays c => $"{Person(c.Instructor)} teaches {c.Days} days in the week of {Listed([.. c.FirstDays.Select(Day)])}",
        Change.InviteGuest c =>
            $"a further instructor for {season.Offerings[c.Offering].Id} at {Site(c.Site)} on {Listed([.. c.Days.Select(Day)])}",
        Change.MoveClass c => $"move {Class(c.To.Class)} from {Of(c.From)} to {Of(c.To)}",
        _ => throw new ArgumentOutOfRangeException(nameof(change), change, "No words for this change; add them here."),
    };

    // Warmth makes resin react faster and hotter: whoever turns the heating up is told to look at the data sheet first.
    private string Of(Change.WarmRoom c) => string.Create(CultureInfo.InvariantCulture,
        $"hold the cure room at {Site(c.Warming.Site)} {c.Warming.Kelvin:0.0} °C warmer {Days(c.Warming.FirstDay, c.Warming.LastDay)}")
        + $", within what the resins' data sheets allow ({Needs(c)})";

    private static string Needs(Change.WarmRoom c) => string.Create(CultureInfo.InvariantCulture,
        $"{(c.NeededHours is { } hours ? $"needs {hours:0.0} h as it is" : "never ready as it is")}, has {c.GapHours:0.0} h");

    private string Session(Attendance session) => $"{Day(session.Day)} {(session.Slot % 2 == 0 ? "morning" : "afternoon")}";

    private string Days(int first, int last) => first == last ? $"on {Day(first)}" : $"from {Day(first)} to {Day(last)}";

    private string Day(int day) => season.FirstDay.AddDays(day).ToString("ddd d MMM yyyy", CultureInfo.InvariantCulture);

    private string Class(int @class) => season.Classes[@class].Id;

    private string Site(int site) => season.Sites[site].Id;

    private string Person(int instructor) => season.Instructors[instructor].Id;

    private static string Listed(IReadOnlyList<string> parts) =>
        parts.Count < 2 ? string.Concat(parts) : $"{string.Join(", ", parts.Take(parts.Count - 1))} and {parts[^1]}";

    private static string Capital(string text) => text.Length == 0 ? text : char.ToUpperInvariant(text[0]) + text[1..];
}
