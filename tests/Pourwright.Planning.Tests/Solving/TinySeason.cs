using Pourwright.Planning.Season;
using Pourwright.Planning.Tests.Generated;

namespace Pourwright.Planning.Tests.Solving;

/// <summary>Three classes in eight days, so short of people, bench and machines that they can seldom all be held where they like.</summary>
internal static class TinySeason
{
    public static SeasonCase Make(int seed)
    {
        var random = new Random(seed);
        var sites = Enumerable.Range(0, 2).Select(site => SmallSeason.Site($"site-{site}", [6, 8])).Select(site => site with
        {
            Days = [.. site.Days.Take(8).Select(_ => new SiteDay(random.Next(8) > 0, random.Next(7, 15), 120, 120, 12))],
        }).ToArray();
        return new()
        {
            FirstDay = new(2027, 1, 4),
            Days = 8,
            Sites = sites,
            Offerings = [new("board", 10, 5, 2, new(20, 2)), new("tray", 5, 10, 2, null)],
            Instructors = [.. Enumerable.Range(0, 2).Select(who => new Instructor($"instructor-{who}", who == 0 ? new HashSet<int> { 0, 1 } : [1], who,
                [.. Enumerable.Range(0, 8).Select(_ => random.Next(6) > 0)], random.Next(2, 5), 60 + 60 * who))],
            Classes = [.. Enumerable.Range(0, 3).Select(c => Class(random, c))],
            TravelMinutes = [[0, 70], [70, 0]],
            Cure = new SteadyCure(random.Next(18, 30)),
            Terms = new() { OvernightMinutes = random.Next(2) * 120 },
        };
    }

    private static ClassRequest Class(Random random, int number)
    {
        var (students, first) = (random.Next(4, 9), random.Next(0, 4));
        int[] sites = random.Next(3) == 0 ? [0, 1] : [random.Next(2)];
        return new($"class-{number}", random.Next(2), students, students, sites, first, first + 1, Enum.GetValues<DayOfWeek>().ToHashSet(), first + random.Next(2));
    }
}
