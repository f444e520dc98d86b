using System.Globalization;
using Pourwright.Planning.Season;

namespace Pourwright.Planning.Checking;

/// <summary>What a plan may not break.</summary>
public enum PlanRule
{
    /// <summary>Class, site, instructor and slots exist, and the machine day begins in a morning.</summary>
    KnownIndexes,
    ClassOnce,
    SiteAllowed,
    PourWindow,
    Weekday,
    SiteOpen,
    /// <summary>A finish where the offering has one, none where it has not.</summary>
    FinishAsOffered,
    LeastGap,
    ChanceAllReady,
    LongestGap,
    FinishNotBefore,
    FinishWithin,
    BenchPlaces,
    PlanerMinutes,
    SawMinutes,
    SandingPlaces,
    /// <summary>Classes that need rooms of at least a size against rooms of that size (Hall 1935, nested case).</summary>
    Rooms,
    Qualified,
    Available,
    OneClassAtATime,
    OneSiteADay,
    DaysAWeek,
    OvernightTravel,
    FarthestTravel,
}

/// <summary>A rule that a plan breaks.</summary>
/// <param name="Rule">Which.</param>
/// <param name="Classes">All that have a part in it, by their index.</param>
/// <param name="Site">Where; null where the rule knows none.</param>
/// <param name="Day">When; of a week its first day in the season; null where the rule knows none.</param>
/// <param name="Instructor">Who; null where the rule is not about people.</param>
/// <param name="Value">What the plan has, in the unit that the rule counts in: places, min, h, days, chance, an index.</param>
/// <param name="Limit">What it may have at most, or must have at least.</param>
public sealed record PlanFault(
    PlanRule Rule, IReadOnlyList<int> Classes, int? Site, int? Day, int? Instructor, double Value, double Limit)
{
    /// <summary>The fault with the names of a season, for people.</summary>
    public string Text(SeasonCase season) => string.Concat(
        $"{Rule}: class {string.Join(", ", Classes.Select(c => Name(season.Classes, c, request => request.Id)))}",
        Site is { } site ? $", site {Name(season.Sites, site, s => s.Id)}" : "",
        Day is { } day ? FormattableString.Invariant($", {season.FirstDay.AddDays(day):yyyy-MM-dd}") : "",
        Instructor is { } who ? $", instructor {Name(season.Instructors, who, i => i.Id)}" : "",
        FormattableString.Invariant($": {Value:0.####} against a limit of {Limit:0.####}"));

    private static string Name<T>(IReadOnlyList<T> of, int index, Func<T, string> name) =>
        index >= 0 && index < of.Count ? name(of[index]) : index.ToString(CultureInfo.InvariantCulture);
}
