using Pourwright.Planning.Season;

namespace Pourwright.Planning.Tests.Generated;

/// <summary>Invented seasons, the same for the same seed: shared by tests and benchmarks.</summary>
/// <remarks>
/// Regions of up to five sites within two hours and a half of each other, in four time zones; nobody travels between regions.
/// Four offerings, one of them without a finish; 55 % of the classes take weekends only. There are too few instructors: as many
/// as session days over four days a week, divided by a load above one.
/// </remarks>
internal static class SyntheticSeason
{
    public const double UsualLoad = 1.15;

    private const int SitesARegion = 5;
    private const double WeekendShare = 0.55;

    private static readonly DateOnly FirstDay = new(2027, 1, 4); // a Monday
    private static readonly double[] AgeHours = [11, 30, 52, 84];

    private static readonly Offering[] Offerings =
    [
        new("tray", 8, 6, 7, null),
        new("board", 14, 6, 8, new(20, 9)),
        new("lamp", 10, 12, 9, new(20, 10)),
        new("table", 22, 8, 10, new(40, 14)),
    ];

    private static readonly IReadOnlySet<DayOfWeek> Weekend = new HashSet<DayOfWeek> { DayOfWeek.Saturday, DayOfWeek.Sunday };
    private static readonly IReadOnlySet<DayOfWeek> AnyDay = new HashSet<DayOfWeek>(Enum.GetValues<DayOfWeek>());

    public static SeasonCase Make(int sites, int weeks, int classes, int seed, double load = UsualLoad)
    {
        var random = new Random(seed);
        var days = 7 * weeks;
        SeasonSite[] places = [.. Enumerable.Range(0, sites).Select(site => Site(random, site, days))];
        ClassRequest[] requests = [.. Enumerable.Range(0, classes).Select(c => Request(random, c, sites, weeks))];
        return new()
        {
            FirstDay = FirstDay,
            Days = days,
            Sites = places,
            Offerings = Offerings,
            Classes = requests,
            TravelMinutes = Travel(random, sites),
            Instructors = [.. Enumerable.Range(0, Regions(sites)).SelectMany(region => Staff(random, requests, region, sites, weeks, load))],
            Cure = new SyntheticCure(places, AgeHours, new PlanTerms().ChanceAllReady, seed),
        };
    }

    private static int Regions(int sites) => (sites + SitesARegion - 1) / SitesARegion;

    private static int Region(int site) => site / SitesARegion;

    private static SeasonSite Site(Random random, int site, int days)
    {
        int[] seats = random.Next(2) == 0 ? [6, 8, 10] : [6, 8, 10, 10];
        var closed = (DayOfWeek)random.Next(1, 4); // Monday to Wednesday
        var benchPlaces = random.Next(24, 41);
        var holiday = random.Next(days);
        SiteDay[] each = [.. Enumerable.Range(0, days).Select(day => new SiteDay(
            FirstDay.AddDays(day).DayOfWeek != closed && (day < holiday || day > holiday + 2), benchPlaces, 360, 360, 14))];
        double Hour(int slot, int clock) => 24.0 * (slot / 2) + clock - Offset(Region(site) % 4, FirstDay.AddDays(slot / 2));
        return new($"site-{site}", seats, each,
            [.. Enumerable.Range(0, 2 * days).Select(slot => Hour(slot, slot % 2 == 0 ? 9 : 14))],
            [.. Enumerable.Range(0, 2 * days).Select(slot => Hour(slot, slot % 2 == 0 ? 13 : 18))]);
    }

    // Hours ahead of UTC: two zones that change on 28 March 2027, two on 14 March.
    private static double Offset(int zone, DateOnly date) => zone switch
    {
        0 => 1 + (date >= new DateOnly(2027, 3, 28) ? 1 : 0),
        1 => 0 + (date >= new DateOnly(2027, 3, 28) ? 1 : 0),
        2 => -5 + (date >= new DateOnly(2027, 3, 14) ? 1 : 0),
        _ => -8 + (date >= new DateOnly(2027, 3, 14) ? 1 : 0),
    };

    private static ClassRequest Request(Random random, int number, int sites, int weeks)
    {
        var first = random.Next(sites);
        int[] allowed = random.NextDouble() < 0.4 && Neighbours(first, sites) is { Length: > 0 } others ? [first, others[random.Next(others.Length)]] : [first];
        var offering = random.Next(Offerings.Length);
        var students = random.Next(4, 11);
        var weekdays = random.NextDouble() < WeekendShare ? Weekend : AnyDay;
        var width = Math.Min(weeks, random.Next(2, 5));
        // The last weeks are left to the machine days and finishes of what is poured before.
        var firstWeek = random.Next(Math.Max(1, weeks - width - 1));
        var (from, to) = (7 * firstWeek, 7 * (firstWeek + width) - 1);
        int[] suits = [.. Enumerable.Range(from, to - from + 1).Where(day => weekdays.Contains(FirstDay.AddDays(day).DayOfWeek))];
        return new($"class-{number}", offering, students, students, allowed, from, to, weekdays, suits[random.Next(suits.Length)]);
    }

    private static int[] Neighbours(int site, int sites) =>
        [.. Enumerable.Range(0, sites).Where(other => other != site && Region(other) == Region(site))];

    private static int[][] Travel(Random random, int sites)
    {
        var minutes = Enumerable.Range(0, sites).Select(_ => new int[sites]).ToArray();
        for (var one = 0; one < sites; one++)
            for (var other = one + 1; other < sites; other++)
                minutes[one][other] = minutes[other][one] = Region(one) == Region(other) ? random.Next(20, 151) : 600;
        return minutes;
    }

    private static IEnumerable<Instructor> Staff(Random random, ClassRequest[] requests, int region, int sites, int weeks, double load)
    {
        int[] here = [.. Enumerable.Range(0, sites).Where(site => Region(site) == region)];
        var sessionDays = requests.Where(request => Region(request.Sites[0]) == region).Sum(request => Offerings[request.Offering].Finish is null ? 2 : 3);
        var count = (int)Math.Ceiling(sessionDays / (weeks * 4.0) / load);
        return Enumerable.Range(0, count).Select(number =>
        {
            HashSet<int> qualified = count < 3 ? [.. Enumerable.Range(0, Offerings.Length)]
                : [number % 4, (number + 1) % 4, (number + 2) % 4];
            var away = random.Next(weeks);
            var restDay = (DayOfWeek)random.Next(1, 6);
            return new Instructor($"instructor-{region}-{number}", qualified, here[random.Next(here.Length)],
                [.. Enumerable.Range(0, 7 * weeks).Select(day => day / 7 != away && FirstDay.AddDays(day).DayOfWeek != restDay)],
                random.Next(4, 6), random.Next(90, 151));
        });
    }
}
