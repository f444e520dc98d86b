using Pourwright.Planning.Checking;
using Pourwright.Planning.Season;
using Pourwright.Planning.Tests.Generated;

namespace Pourwright.Planning.Tests.Checking;

public sealed class PlanCheckerTests
{
    private static readonly SeasonCase Season = SmallSeason.Season;
    private static readonly Placement Oak = SmallSeason.Plan.Placed[0], Elm = SmallSeason.Plan.Placed[1], Ash = SmallSeason.Plan.Placed[2];

    /// <summary>Name, rule, value, limit, and a season and plan that break it by one change.</summary>
    public static TheoryData<string, PlanRule, double, double, SeasonCase, ClassPlan> Faults { get; } = new()
    {
        { "a site that does not exist", PlanRule.KnownIndexes, 7, 1, Season, With(Elm with { Site = 7 }) },
        { "a class that does not exist", PlanRule.KnownIndexes, 3, 2, Season, With(Elm with { Class = 3 }) },
        { "an instructor who does not exist", PlanRule.KnownIndexes, 2, 1, Season, With(Elm with { Pour = new(2, 2) }) },
        { "a slot after the last day", PlanRule.KnownIndexes, 28, 27, Season, With(Elm with { Machine = new(28, 0) }) },
        { "a machine day from noon", PlanRule.KnownIndexes, 7, 6, Season, With(Elm with { Machine = new(7, 0) }) },
        { "a class twice", PlanRule.ClassOnce, 2, 1, Season, new([Oak, Elm, Ash, Ash with { Pour = new(12, 1), Machine = new(14, 1) }]) },
        { "oak in the south", PlanRule.SiteAllowed, 1, 1, Season, With(Oak with { Site = 1 }) },
        { "a pour before the window", PlanRule.PourWindow, 1, 2, Class(1, c => c with { FirstDay = 2 }), SmallSeason.Plan },
        { "a pour after the window", PlanRule.PourWindow, 1, 0, Class(1, c => c with { LastDay = 0 }), SmallSeason.Plan },
        { "a Thursday that does not suit", PlanRule.Weekday, 4, 1, Class(1, c => c with { Weekdays = new HashSet<DayOfWeek> { DayOfWeek.Tuesday } }), SmallSeason.Plan },
        { "a closed Wednesday", PlanRule.SiteOpen, 0, 1, Day(0, 2, day => day with { Open = false }), SmallSeason.Plan },
        { "no finish", PlanRule.FinishAsOffered, 0, 1, Season, With(Oak with { Finish = null }) },
        { "a finish of a tray", PlanRule.FinishAsOffered, 1, 0, Season, With(Elm with { Finish = new(10, 0) }) },
        // Monday 13:00 to Tuesday 9:00 are 20 h; with a resin of 21 h an hour is missing.
        { "too short a gap", PlanRule.LeastGap, 20, 21, Season with { Cure = new SteadyCure(21) }, SmallSeason.Plan },
        { "too small a chance", PlanRule.ChanceAllReady, 0.96, 0.97, Season with { Terms = new() { ChanceAllReady = 0.97 } }, SmallSeason.Plan },
        { "too long a gap", PlanRule.LongestGap, 5, 4, Season, With(Ash with { Machine = new(10, 1) }) },
        // Wednesday 18:00 to Thursday 9:00 are 15 h.
        { "a finish too early", PlanRule.FinishNotBefore, 15, 20, Season, With(Oak with { Finish = new(6, 0) }) },
        { "a finish too late", PlanRule.FinishWithin, 6, 5, Season, With(Oak with { Finish = new(16, 0) }) },
        // Oak's 8 lie Monday to Wednesday, elm's 6 Tuesday to Thursday.
        { "a full bench", PlanRule.BenchPlaces, 14, 13, Day(0, 1, day => day with { BenchPlaces = 13 }), SmallSeason.Plan },
        { "a bench full on the machine day", PlanRule.BenchPlaces, 14, 13, Day(0, 2, day => day with { BenchPlaces = 13 }), SmallSeason.Plan },
        { "a busy planer", PlanRule.PlanerMinutes, 80, 79, Day(0, 2, day => day with { PlanerMinutes = 79 }), SmallSeason.Plan },
        { "a busy saw", PlanRule.SawMinutes, 200, 199, Day(1, 1, day => day with { SawMinutes = 199 }), SmallSeason.Plan },
        { "a full sanding room", PlanRule.SandingPlaces, 10, 9, Day(1, 1, day => day with { SandingPlaces = 9 }), SmallSeason.Plan },
        { "no room large enough", PlanRule.Rooms, 1, 0, Class(0, c => c with { Students = 11 }), SmallSeason.Plan },
        // Both need more than 8 seats, and one room has them, though there are two rooms.
        { "two classes for one large room", PlanRule.Rooms, 2, 1, Class(0, c => c with { Students = 9 }),
            new([Oak, Ash with { Site = 0, Pour = new(0, 1) }]) },
        { "somebody not qualified", PlanRule.Qualified, 0, 1, Season, With(Oak with { Finish = new(8, 1) }) },
        { "somebody away", PlanRule.Available, 0, 1, Person(1, who => who with { Available = [.. SmallSeason.Always(true).Select((_, day) => day != 1)] }), SmallSeason.Plan },
        { "two classes at once", PlanRule.OneClassAtATime, 2, 1, Season, With(Elm with { Pour = new(4, 0) }) },
        { "two sites on a day", PlanRule.OneSiteADay, 2, 1, Season, With(Elm with { Site = 1, Pour = new(1, 0), Machine = new(6, 0) }) },
        { "too many days of a week", PlanRule.DaysAWeek, 5, 4, Person(0, who => who with { DaysAWeek = 4 }), SmallSeason.Plan },
        { "far sites in a row", PlanRule.OvernightTravel, 90, 60, Season with { Terms = new() { OvernightMinutes = 60 } }, With(Elm with { Site = 1 }) },
        { "too far from home", PlanRule.FarthestTravel, 90, 80, Person(0, who => who with { FarthestMinutes = 80 }), With(Elm with { Site = 1 }) },
    };

    [Fact]
    public void Check_OfThePlanByHand_FindsNothing() => Assert.Empty(PlanChecker.Check(Season, SmallSeason.Plan));

    [Theory]
    [MemberData(nameof(Faults))]
    public void Check_OfAPlantedFault_NamesRuleValueAndLimit(string what, PlanRule rule, double value, double limit, SeasonCase season, ClassPlan plan)
    {
        var faults = PlanChecker.Check(season, plan);
        var fault = faults.FirstOrDefault(fault => fault.Rule == rule && fault.Value == value && fault.Limit == limit);
        Assert.True(fault is not null, $"{what}: found only [{string.Join("; ", faults.Select(f => f.Text(season)))}]");
        Assert.StartsWith($"{rule}: class ", fault.Text(season), StringComparison.Ordinal);
    }

    [Fact]
    public void Faults_CoverEveryRule() => Assert.Equal(Enum.GetValues<PlanRule>(), Faults.Select(row => (PlanRule)row[1]).Distinct().Order());

    [Fact]
    public void Text_NamesClassSiteDayPersonValueAndLimit()
    {
        var fault = PlanChecker.Check(Person(0, who => who with { FarthestMinutes = 80 }), With(Elm with { Site = 1 }))
            .First(fault => fault.Rule == PlanRule.FarthestTravel);
        Assert.Equal("FarthestTravel: class elm, site south, 2027-01-05, instructor anna: 90 against a limit of 80", fault.Text(Season));
    }

    [Fact]
    public void Check_OfASubstituteForOneSession_FindsNothing() =>
        // Bert teaches trays and has Thursday free; the way of 90 min north is within his 100.
        Assert.Empty(PlanChecker.Check(Season, With(Elm with { Machine = new(6, 1) })));

    private static ClassPlan With(Placement changed) =>
        new([.. SmallSeason.Plan.Placed.Where((_, at) => at != (changed.Class == 3 ? 1 : changed.Class)).Append(changed)]);

    private static SeasonCase Class(int at, Func<ClassRequest, ClassRequest> change) => Season with { Classes = Changed(Season.Classes, at, change) };

    private static SeasonCase Person(int at, Func<Instructor, Instructor> change) => Season with { Instructors = Changed(Season.Instructors, at, change) };

    private static SeasonCase Day(int site, int day, Func<SiteDay, SiteDay> change) => Season with
    {
        Sites = Changed(Season.Sites, site, s => s with { Days = Changed(s.Days, day, change) }),
    };

    private static T[] Changed<T>(IReadOnlyList<T> of, int at, Func<T, T> change) => [.. of.Select((one, index) => index == at ? change(one) : one)];
}
