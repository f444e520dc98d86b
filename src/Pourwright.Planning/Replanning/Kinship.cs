using Pourwright.Planning.Season;

namespace Pourwright.Planning.Replanning;

/// <summary>Which whole classes may make room for broken ones, the nearest first.</summary>
internal static class Kinship
{
    private const double OtherSiteDays = 7;
    private const double NoPartDays = 1000;

    /// <summary>By days, with so many more where they share people but not the site; ties by number.</summary>
    public static IEnumerable<int> Nearest(SeasonCase season, IReadOnlyCollection<Placement> broken, IEnumerable<Placement> whole) => whole
        .Select(p => (p.Class, Distance: broken.Min(b => Distance(season, b, p))))
        .OrderBy(p => p.Distance).ThenBy(p => p.Class)
        .Select(p => p.Class);

    private static double Distance(SeasonCase season, Placement broken, Placement p)
    {
        var request = season.Classes[broken.Class];
        var offering = season.Offerings[request.Offering];
        var lastDay = request.LastDay + offering.LongestGapDays + (offering.Finish?.WithinDays ?? 0);
        var apart = Math.Max(0, Math.Max(request.FirstDay - p.Sessions.Last().Day, p.Pour.Day - lastDay));
        var fromOld = Math.Abs(p.Machine.Day - broken.Machine.Day) / 7.0;
        return apart + fromOld + Elsewhere(season, request, p);
    }

    private static double Elsewhere(SeasonCase season, ClassRequest request, Placement p) =>
        request.Sites.Contains(p.Site) ? 0 : p.Sessions.Any(s => MayTeach(season, request, s.Instructor)) ? OtherSiteDays : NoPartDays;

    private static bool MayTeach(SeasonCase season, ClassRequest request, int who) =>
        season.Instructors[who].Offerings.Contains(request.Offering)
        && request.Sites.Any(site => season.TravelMinutes[season.Instructors[who].HomeSite][site] <= season.Instructors[who].FarthestMinutes);
}
