namespace Pourwright.Planning.Season;

/// <summary>What a plan costs beside the classes that it leaves out, in points; fewer are better.</summary>
/// <param name="Risk">Machine days soon after the least gap.</param>
/// <param name="Travel">Ways of instructors.</param>
/// <param name="Preference">Other weeks, weekdays and sites than the favourite ones.</param>
/// <param name="Substitutes">Sessions taught by another person than the pour of their class.</param>
public sealed record PlanPoints(int Risk, int Travel, int Preference, int Substitutes)
{
    public int Total => Risk + Travel + Preference + Substitutes;

    /// <summary>Points of a plan, counted from nothing but the plan.</summary>
    public static PlanPoints Of(SeasonCase season, ClassPlan plan) => new(
        plan.Placed.Sum(p => RiskOf(season, p.Class, p.Site, p.Pour.Slot, p.Machine.Day)),
        plan.Placed.SelectMany(p => p.Sessions.Select(session => (session.Instructor, session.Day, p.Site))).Distinct()
            .Sum(day => TravelOf(season, day.Instructor, day.Site)),
        plan.Placed.Sum(p => PreferenceOf(season, p.Class, p.Site, p.Pour.Day)),
        plan.Placed.Sum(p => p.Sessions.Count(session => session.Instructor != p.Pour.Instructor)) * season.Terms.SubstitutePoints);

    /// <summary>Points of the slack between the least gap and a machine day: of every level that it is below.</summary>
    public static int RiskOf(SeasonCase season, int @class, int site, int pourSlot, int machineDay)
    {
        var (request, place) = (season.Classes[@class], season.Sites[site]);
        var least = season.Cure.LeastHours(request.Offering, site, pourSlot, request.Pieces) ?? double.PositiveInfinity;
        return RiskOf(season.Terms, place.SlotStartHours[2 * machineDay] - place.SlotEndHours[pourSlot] - least);
    }

    /// <summary>Points of a slack in h.</summary>
    public static int RiskOf(PlanTerms terms, double slackHours) => terms.Risk.Where(level => slackHours < level.BelowHours).Sum(level => level.Points);

    /// <summary>Points of one day of an instructor at a site: whole ones only.</summary>
    public static int TravelOf(SeasonCase season, int instructor, int site) =>
        season.TravelMinutes[season.Instructors[instructor].HomeSite][site] / season.Terms.TravelMinutesPerPoint;

    /// <summary>Points of a pour day and site that are not the favourite ones.</summary>
    public static int PreferenceOf(SeasonCase season, int @class, int site, int pourDay)
    {
        var (request, terms) = (season.Classes[@class], season.Terms);
        return Math.Abs(season.Week(pourDay) - season.Week(request.FavouriteDay)) * terms.WeekOffPoints
            + (season.Weekday(pourDay) == season.Weekday(request.FavouriteDay) ? 0 : terms.WeekdayOffPoints)
            + (site == request.Sites[0] ? 0 : terms.OtherSitePoints);
    }
}
