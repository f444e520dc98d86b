using Pourwright.Planning.Checking;
using Pourwright.Planning.Season;
using Pourwright.Studio.Plans;
using Pourwright.Studio.Sites;
using State = Pourwright.V1.CastingClass.Types.State;
using static Pourwright.Studio.Tests.Plans.SeasonDesk;

namespace Pourwright.Studio.Tests.Plans;

public class SeasonOfTests
{
    // Saturday 18:00 to Monday 09:00 is 39 h by the clock. Lisbon's clocks go forward on Sunday 29 March 2026 and back on Sunday
    // 25 October 2026: 38 and 40 h go by.
    [Theory]
    [InlineData("2026-03-14", 39)]
    [InlineData("2026-03-28", 38)]
    [InlineData("2026-10-24", 40)]
    public void Slots_OverAClockChange_CountTheHoursThatGoBy(string saturday, double hours)
    {
        var site = Season(Facts(DateOnly.Parse(saturday, System.Globalization.CultureInfo.InvariantCulture))).Case.Sites[0];
        Assert.Equal(hours, site.SlotStartHours[4] - site.SlotEndHours[1], 1e-9);
    }

    // 09:00 in Athens is 07:00 in Lisbon, in winter and in summer.
    [Fact]
    public void Slots_OfSitesInTwoZones_ShareOneClock()
    {
        const string South = "studios/oak/sites/south";
        var facts = Facts() with { Sites = [SiteRow(Site, "Europe/Lisbon"), SiteRow(South, "Europe/Athens")] };
        var sites = Season(facts).Case.Sites;
        Assert.Equal(2, sites[0].SlotStartHours[0] - sites[1].SlotStartHours[0], 1e-9);
    }

    // Half of the nine hours from 09:00 to 18:00: 360 min become 180. The site itself stays open, its bench too.
    [Fact]
    public void Day_PlanerOutForHalfOfIt_HasHalfItsMinutes()
    {
        var noon = At(FirstDay, 13.5);
        var day = Season(Facts() with { Outages = [Outage($"{Site}/stations/planer", null, noon, At(FirstDay, 24))] }).Case.Sites[0].Days[0];
        Assert.Equal(new SiteDay(true, 8, 180, 360, 8), day);
    }

    [Fact]
    public void Day_SiteClosedForAnHourOfIt_IsClosedButHoldsItsPieces()
    {
        var days = Season(Facts() with { Outages = [Outage(null, null, At(FirstDay, 10), At(FirstDay, 11))] }).Case.Sites[0].Days;
        Assert.Equal((false, 8), (days[0].Open, days[0].BenchPlaces));
        Assert.True(days[1].Open);
    }

    [Fact]
    public void Day_BenchOutOfUse_HoldsNoPieces() =>
        Assert.Equal(0, Season(Facts() with { Outages = [Outage(null, Bench, At(FirstDay, 0), At(FirstDay, 24))] }).Case.Sites[0].Days[0].BenchPlaces);

    // Asked for from 2 to 15 March, planned from 9 March on: day 0 to 6 of the season.
    [Fact]
    public void Class_AskedForEarlierToo_IsPlannedInWhatIsLeft()
    {
        var season = Season(Facts(FirstDay.AddDays(7)) with { Classes = [Class("one"), Class("late") with { FirstDate = "2026-06-01", LastDate = "2026-06-02" }] });
        var request = Assert.Single(season.Case.Classes);
        Assert.Equal(("one", 0, 6), (request.Id, request.FirstDay, request.LastDay));
        Assert.Contains("lie outside", SeasonOf.LeftOut(season.Facts, season.Facts.Classes[1]), StringComparison.Ordinal);
    }

    [Fact]
    public void HeldClass_ThatStays_HasNoOtherWay()
    {
        var held = Class("held", state: State.Confirmed);
        var season = Season(Facts() with { Classes = [held], Sessions = Sessions(held.Name, 2, 3) });
        var p = Assert.Single(season.Held);
        Assert.Equal((new Attendance(5, 0), new Attendance(10, 0)), (p.Pour, p.Machine));
        Assert.Empty(PlanChecker.Check(season.Case, new([p])));
        var later = p with { Machine = new(12, 0) };
        Assert.Contains(PlanChecker.Check(season.Case, new([later])), fault => fault.Rule == PlanRule.LongestGap);
        Assert.Contains(PlanChecker.Check(season.Case, new([p with { Pour = new(4, 0) }])), fault => fault.Rule == PlanRule.LeastGap);
    }

    // One day is too soon for a coat in a room of 21 °C: 15 h from 18:00 to 09:00, and it needs more than 20.
    [Fact]
    public void HeldClass_ThatMayMove_IsHeldAgainstTheRules()
    {
        var held = Class("held", state: State.Confirmed);
        var season = Season(Facts() with { Classes = [held], Sessions = Sessions(held.Name, 2, 1) }, HeldClasses.MayMove);
        Assert.Equal(15, season.GapHours(season.Held[0]), 1e-9);
        Assert.Contains(PlanChecker.Check(season.Case, new(season.Held)), fault => fault.Rule == PlanRule.LeastGap);
    }

    // Poured at one site and sawn at another, by hand: it is neither planned anew nor moved.
    [Fact]
    public void HeldClass_AtTwoSites_IsLeftAlone() => Assert.Empty(Season(AtTwoSites()).Classes);

    // Poured on day 2, sawn on day 5: of eight places four are taken on these days and between them, and Ana teaches on both.
    [Fact]
    public void HeldClass_AtTwoSites_TakesItsPlacesAndItsInstructor()
    {
        var season = Season(AtTwoSites()).Case;
        Assert.Equal([8, 8, 4, 4, 4, 4, 8], season.Sites[0].Days.Take(7).Select(day => day.BenchPlaces));
        Assert.Equal([true, true, false, true, true, false, true], season.Instructors[0].Available.Take(7));
    }

    // Ana teaches another class on day 5 as well: that one is not broken by it.
    [Fact]
    public void HeldClass_OnADayOfOneAtTwoSites_BreaksNothing()
    {
        var (facts, other) = (AtTwoSites(), Class("other", 2, State.Confirmed));
        var season = Season(facts with { Classes = [.. facts.Classes, other], Sessions = [.. facts.Sessions, .. Sessions(other.Name, 1, 4)] });
        Assert.Equal([true, true, false, true, true, true, true], season.Case.Instructors[0].Available.Take(7));
        Assert.Empty(PlanChecker.Check(season.Case, new(season.Held)));
    }

    private static SeasonFacts AtTwoSites()
    {
        const string South = "studios/oak/sites/south";
        var held = Class("held", state: State.Confirmed);
        var sessions = Sessions(held.Name, 2, 3);
        return Facts() with
        {
            Sites = [SiteRow(Site, "Europe/Lisbon"), SiteRow(South, "Europe/Lisbon")],
            Classes = [held], Sessions = [sessions[0], sessions[1] with { Site = South }],
        };
    }

    [Fact]
    public void Sessions_OfAPlacement_AreThoseItCameFrom()
    {
        var held = Class("held", state: State.Confirmed);
        var sessions = Sessions(held.Name, 2, 3);
        var season = Season(Facts() with { Classes = [held], Sessions = sessions });
        Assert.Equal(sessions, season.Sessions(season.Held[0], null));
    }

    // Six pieces and four on benches of eight and four: the larger class fills the larger bench as far as it goes.
    [Fact]
    public void LayOut_ClassesBesideEachOther_LieOnTheBenchThatTheyFillBest()
    {
        const string Rack = "studios/oak/sites/north/benches/rack";
        var facts = Facts() with { Benches = [BenchRow(Bench, Site, 8), BenchRow(Rack, Site, 4)], Classes = [Class("six", 6), Class("four", 4), Class("two", 2)] };
        Placement On(int c, int pourDay) => new(c, 0, new(2 * pourDay + 1, 0), new(2 * (pourDay + 4), 0), null);
        var shares = LayOut.Decide(Season(facts), new([On(0, 0), On(1, 1), On(2, 2)]));
        Assert.Equal([new BenchShare(Bench, 6)], shares[0]);
        Assert.Equal([new BenchShare(Rack, 4)], shares[1]);
        Assert.Equal([new BenchShare(Bench, 2)], shares[2]);
    }

    private static long At(DateOnly day, double hour) => new DateTimeOffset(day.ToDateTime(default), TimeSpan.Zero).AddHours(hour).ToUnixTimeMilliseconds();

    private static OutageRecord Outage(string? station, string? bench, long startMs, long endMs) =>
        new() { Name = $"{Site}/outages/one", Site = Site, Station = station, Bench = bench, StartMs = startMs, EndMs = endMs, Reason = "" };
}
