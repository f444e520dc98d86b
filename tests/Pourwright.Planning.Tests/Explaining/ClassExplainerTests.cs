using Pourwright.Planning.Checking;
using Pourwright.Planning.Explaining;
using Pourwright.Planning.Season;
using static Pourwright.Planning.Tests.Explaining.CrowdedSeason;

namespace Pourwright.Planning.Tests.Explaining;

public class ClassExplainerTests
{
    private static readonly ClassPlan Empty = new([]);
    private static readonly SearchReach NoFarther = new(Days: 0, SiteMinutes: -1);

    [Fact]
    public void Explain_WhereNothingIsInTheWay_FindsThePlace()
    {
        var explained = new ClassExplainer(Unhindered, Empty, NoFarther).Explain(0);
        Assert.NotNull(explained.Fits);
        Assert.Empty(PlanChecker.Check(Unhindered, new([explained.Fits])));
        Assert.Empty(explained.Conflicts);
    }

    // River pours on Mon 8 or Tue 9 February, lies at most four days and has its finish at most three days later. Its six pieces
    // take 6 · 20 = 120 min of a planer and 6 · 10 = 60 of a saw, and need Φ⁻¹(0.95^(1/6)) = 2.386, so 30 h · exp(0.2386) = 38.1 h.
    // Where nobody comes from Wednesday to Saturday, machines on Thursday leave Sunday for the finish, those on Wednesday do not.
    [Theory]
    [InlineData(PlanRule.BenchPlaces, "1 more bench place at North from Mon 8 Feb 2027 to Wed 10 Feb 2027")]
    [InlineData(PlanRule.PlanerMinutes, "20 more minutes of a planer at North on Wed 10 Feb 2027")]
    [InlineData(PlanRule.SawMinutes, "10 more minutes of a saw at North on Wed 10 Feb 2027")]
    [InlineData(PlanRule.SandingPlaces, "2 more sanding places at North on Wed 10 Feb 2027")]
    [InlineData(PlanRule.Rooms, "A further room with 6 seats at North on Mon 8 Feb 2027, Wed 10 Feb 2027 and Thu 11 Feb 2027")]
    [InlineData(PlanRule.Weekday, "Let river meet on a Wednesday")]
    [InlineData(PlanRule.SiteOpen, "Open North on Thu 11 Feb 2027")]
    [InlineData(PlanRule.Qualified, "Ada learns to teach board")]
    [InlineData(PlanRule.Available, "Ada comes on Thu 11 Feb 2027")]
    [InlineData(PlanRule.FarthestTravel, "Ada travels the 60 min to North")]
    [InlineData(PlanRule.DaysAWeek, "Ada teaches 2 days in the week of Mon 8 Feb 2027")]
    public void Explain_OneRuleInTheWay_NamesItAndWhatWouldDo(PlanRule rule, string change)
    {
        var explained = new ClassExplainer(Blocked(rule), Empty, NoFarther).Explain(0);
        Assert.Contains(RuleSet.Of(rule), explained.Obstacles.Select(o => o.Rules));
        Assert.All(explained.Conflicts, conflict => Assert.True(conflict.Contains(rule)));
        Assert.True(explained.EvenAlone);
        var words = new ExplanationWords(Blocked(rule));
        Assert.Contains(change, explained.Proposals.Select(p => words.Of(p.Changes)));
    }

    [Theory]
    [InlineData(0, -1, null)]
    [InlineData(7, -1, "Let river pour on Sun 7 Feb 2027")]
    [InlineData(0, 60, "Hold river at South")]
    public void Explain_ClosedOnTheDaysAskedFor_LooksAsFarAsItMay(int days, int minutes, string? change)
    {
        var season = Unhindered.WithDays(North, (at, day) => day with { Open = at is not 7 and not 8 });
        var explained = new ClassExplainer(season, Empty, new(days, minutes)).Explain(0);
        string[] told = ["Open North on Mon 8 Feb 2027", .. change is null ? Array.Empty<string>() : [change]];
        Assert.Equal(told.Order(), explained.Proposals.Select(p => new ExplanationWords(season).Of(p.Changes)).Order());
    }

    [Fact]
    public void Explain_MayLieOneNightOnly_LetsItLieForTwo()
    {
        var explained = new ClassExplainer(Blocked(PlanRule.LongestGap), Empty, new(Days: 1, SiteMinutes: -1)).Explain(0);
        Assert.Equal([RuleSet.Of(PlanRule.LeastGap, PlanRule.LongestGap)], explained.Conflicts);
        Assert.Equal(["Let its pieces lie for 2 days"], explained.Proposals.Select(p => new ExplanationWords(Unhindered).Of(p.Changes)));
    }

    // Overnight, from 13:00 to 9:00, are 20 h: 38.1 h · 0.95ˣ ≤ 20 h from x = 12.6 K on, so 13 K in steps of a half.
    [Theory]
    [InlineData(20.0, true)]
    [InlineData(13.0, true)]
    [InlineData(12.5, false)]
    [InlineData(0.0, false)]
    public void Explain_OvernightCureInAColdRoom_WarmsItWithinItsLimit(double mostKelvin, bool warmed)
    {
        var season = Blocked(PlanRule.LongestGap);
        var explained = new ClassExplainer(season, Empty, NoFarther, new Heating(mostKelvin)).Explain(0);
        var change = explained.Proposals.SelectMany(p => p.Changes).OfType<Change.WarmRoom>().SingleOrDefault();
        Assert.Equal(warmed ? new RoomWarming(North, 7, 8, 13) : null, change?.Warming);
        if (change is not null)
            Assert.Equal(
                "hold the cure room at North 13.0 °C warmer from Mon 8 Feb 2027 to Tue 9 Feb 2027, "
                + "within what the resins' data sheets allow (needs 38.3 h as it is, has 20.0 h)",
                new ExplanationWords(season).Of(change));
    }

    // Where tray lies in the same room, the room is warmed no farther than tray bears.
    [Fact]
    public void Explain_AnotherClassCuresThere_WarmsNoFartherThanItBears()
    {
        var season = Blocked(PlanRule.LongestGap).With(North, s => s with { RoomSeats = [8, 8] }).WithClass(c => c with { LastDay = 7 });
        var plan = new ClassPlan([Placed(1, North, 5, 7, 9)]);
        Assert.Contains(Warmings(20), w => w.Kelvin == 13);
        Assert.Empty(Warmings(12));

        IEnumerable<RoomWarming> Warmings(double trayBears) =>
            new ClassExplainer(season, plan, NoFarther, new Bears(season, trayBears)).Explain(0)
                .Proposals.SelectMany(p => p.Changes).OfType<Change.WarmRoom>().Select(c => c.Warming);
    }

    // How long a finish has to wait, and until when it must be laid on, is what the resin needs.
    [Fact]
    public void Explain_FinishThatComesTooLate_ProposesNothing()
    {
        var season = Unhindered with { Offerings = [Unhindered.Offerings[0] with { Finish = new(20, 0) }] };
        var explained = new ClassExplainer(season, Empty, new(Days: 1, SiteMinutes: -1)).Explain(0);
        Assert.Equal([RuleSet.Of(PlanRule.FinishWithin)], explained.Conflicts);
        Assert.Empty(explained.Proposals);
    }

    // Ada's machine day of tray at South lies on the only day when river may pour.
    [Fact]
    public void Explain_TheOnlyPersonTeachesElsewhere_AsksForAnotherOne()
    {
        var tray = Class("tray") with { Sites = [South], FirstDay = 5 };
        var season = Unhindered with { Classes = [Class("river") with { LastDay = 7 }, tray] };
        var explained = new ClassExplainer(season, new([Placed(1, South, 5, 7, 8)]), NoFarther with { Neighbours = 0 }).Explain(0);
        Assert.False(explained.EvenAlone);
        Assert.Equal(
            ["A further instructor for board at North on Mon 8 Feb 2027", "Ben learns to teach board"],
            explained.Proposals.Select(p => new ExplanationWords(season).Of(p.Changes)).Order());
        Assert.Equal([1], explained.Obstacles.Single(o => o.Rules.Contains(PlanRule.OneSiteADay)).Faults
            .SelectMany(f => f.Classes).Distinct().Except([0]));
    }

    // Tray pours on the only day of river; it may be held a week later as well.
    [Theory]
    [InlineData(7, true, true)]
    [InlineData(7, false, false)]
    [InlineData(0, true, false)]
    public void Explain_AClassInTheWayThatCouldMove_ProposesToMoveIt(int neighbours, bool mayMove, bool proposed)
    {
        var season = Unhindered with
        {
            Offerings = [Unhindered.Offerings[0] with { LongestGapDays = 2 }],
            Classes = [Class("river") with { LastDay = 7 }, Class("tray") with { LastDay = 14, FavouriteDay = 14 }],
        };
        var explained = new ClassExplainer(
            season, new([Placed(1, North, 7, 9, 10)]), NoFarther with { Neighbours = neighbours }, mayMove: _ => mayMove).Explain(0);
        var moves = explained.Proposals.SelectMany(p => p.Changes).OfType<Change.MoveClass>();
        Assert.Equal(proposed ? [1] : [], moves.Select(move => move.To.Class));
        if (proposed)
            Assert.Contains(explained.Proposals, p => new ExplanationWords(season).Of(p.Changes).StartsWith(
                "Move tray from North, pour Mon 8 Feb 2027 morning, machines Wed 10 Feb 2027", StringComparison.Ordinal));
    }

    [Fact]
    public void Words_OfAnExplanation_SayWhatExcludesEachOtherAndWhatWouldDo()
    {
        var season = Blocked(PlanRule.BenchPlaces);
        var explained = new ClassExplainer(season, Empty, NoFarther).Explain(0);
        Assert.Equal(
            [
                "river has no place, even if nothing else were planned: there is none that suits the bench places.",
                "1 more bench place at North from Mon 8 Feb 2027 to Wed 10 Feb 2027: "
                + "then North, pour Mon 8 Feb 2027 morning, machines Wed 10 Feb 2027, finish Thu 11 Feb 2027 afternoon.",
            ],
            new ExplanationWords(season).Of(explained));
    }

    [Fact]
    public void Words_OfEveryRule_AreThere() =>
        Assert.All(Enum.GetValues<PlanRule>(), rule => Assert.NotEmpty(ExplanationWords.Of(rule)));

    private static SeasonCase Blocked(PlanRule rule) => rule switch
    {
        PlanRule.BenchPlaces => Unhindered.WithDays(North, (_, day) => day with { BenchPlaces = 5 }),
        PlanRule.PlanerMinutes => Unhindered.WithDays(North, (_, day) => day with { PlanerMinutes = 100 }),
        PlanRule.SawMinutes => Unhindered.WithDays(North, (_, day) => day with { SawMinutes = 50 }),
        PlanRule.SandingPlaces => Unhindered.WithDays(North, (_, day) => day with { SandingPlaces = 4 }),
        PlanRule.Rooms => Unhindered.With(North, site => site with { RoomSeats = [5] }),
        PlanRule.Weekday => Unhindered.WithClass(c => c with
        {
            Weekdays = new HashSet<DayOfWeek> { DayOfWeek.Monday, DayOfWeek.Tuesday, DayOfWeek.Thursday },
        }) with
        {
            Offerings = [Unhindered.Offerings[0] with { LongestGapDays = 2 }],
        },
        PlanRule.SiteOpen => Unhindered.WithDays(North, (at, day) => day with { Open = at is < 9 or > 12 }),
        PlanRule.LongestGap => Unhindered with { Offerings = [Unhindered.Offerings[0] with { LongestGapDays = 1 }] },
        PlanRule.Qualified => Unhindered.With(Ada, person => person with { Offerings = new HashSet<int>() }),
        PlanRule.Available => Unhindered.With(
            Ada, person => person with { Available = [.. Enumerable.Range(0, Days).Select(day => day is < 9 or > 12)] }),
        PlanRule.FarthestTravel => Unhindered.With(Ada, person => person with { HomeSite = South, FarthestMinutes = 30 }),
        PlanRule.DaysAWeek => Unhindered.With(Ada, person => person with { DaysAWeek = 1 }),
        _ => throw new ArgumentOutOfRangeException(nameof(rule), rule, "No season here that only this rule is in the way of."),
    };

    private sealed class Bears(SeasonCase season, double trayKelvin) : IWarming
    {
        // Tray pours on day 5, river on day 7.
        public double MostKelvin(int offering, int site, int pourSlot, int pieces) => pourSlot / 2 == 5 ? trayKelvin : 20;

        public ICureGaps Warmed(RoomWarming warming) => new AfterDay(season, warming);

        private sealed class AfterDay(SeasonCase season, RoomWarming warming) : ICureGaps
        {
            private ICureGaps Then(int pourSlot) => pourSlot / 2 >= warming.FirstDay ? Cure(warming.Kelvin) : season.Cure;

            public double? LeastHours(int offering, int site, int pourSlot, int pieces) =>
                Then(pourSlot).LeastHours(offering, site, pourSlot, pieces);

            public double ChanceAllReady(int offering, int site, int pourSlot, int pieces, double hours) =>
                Then(pourSlot).ChanceAllReady(offering, site, pourSlot, pieces, hours);
        }
    }
}
