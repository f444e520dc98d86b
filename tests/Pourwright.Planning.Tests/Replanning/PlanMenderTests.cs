using Pourwright.Planning.Checking;
using Pourwright.Planning.Greedy;
using Pourwright.Planning.Replanning;
using Pourwright.Planning.Season;
using Pourwright.Planning.Tests.Generated;

namespace Pourwright.Planning.Tests.Replanning;

/// <summary>
/// Invented events on invented seasons: two sites, five weeks, twenty-four classes; today is the Monday of the second week.
/// </summary>
public class PlanMenderTests
{
    private const int Today = 7;
    private static readonly HashSet<int> Nobody = [];
    private static readonly ReplanTerms Terms = new() { Neighbours = [0, 8], StageSeconds = 1 };

    public enum What
    {
        InstructorAway,
        SiteClosed,
        ColdSnap,
        PlanerDown,
        LotOnHold,
    }

    [Theory]
    [InlineData(What.InstructorAway, 1)]
    [InlineData(What.InstructorAway, 2)]
    [InlineData(What.SiteClosed, 1)]
    [InlineData(What.SiteClosed, 2)]
    [InlineData(What.ColdSnap, 1)]
    [InlineData(What.ColdSnap, 2)]
    [InlineData(What.PlanerDown, 1)]
    [InlineData(What.PlanerDown, 2)]
    [InlineData(What.LotOnHold, 1)]
    [InlineData(What.LotOnHold, 2)]
    public void Propose_AfterAnEvent_MendsThePlanInWaysToChooseFrom(What what, int seed)
    {
        var (season, published) = Season(seed);
        var now = Happened(season, published, what);
        var mending = Propose(now, published, Terms);
        Assert.NotEmpty(mending.Broken);
        Assert.NotEmpty(mending.Proposals);
        Assert.All(mending.Proposals, proposal => HoldsAndKeepsItsWord(now, published, mending, proposal));
        Assert.All(mending.Proposals.Zip(mending.Proposals.Skip(1)), pair =>
        {
            Assert.True(pair.First.CancelledStudents < pair.Second.CancelledStudents);
            Assert.True(pair.First.Changes > pair.Second.Changes);
        });
    }

    [Theory]
    [InlineData(What.InstructorAway, 3)]
    [InlineData(What.SiteClosed, 3)]
    [InlineData(What.PlanerDown, 3)]
    public void Propose_MoreClassesFree_NeverGivesUpMore(What what, int seed)
    {
        var (season, published) = Season(seed);
        var now = Happened(season, published, what);
        int[] neighbours = [0, 4, 8];
        int[] students = [.. neighbours.Select(k => Propose(now, published, Terms with { Neighbours = [k], ChangesAStudent = null })
            .Proposals[0].CancelledStudents)];
        Assert.Equal(students.OrderDescending(), students);
    }

    [Theory]
    [InlineData(What.SiteClosed, 1)]
    [InlineData(What.InstructorAway, 2)]
    public void Propose_OfTheSameEvent_SaysTheSame(What what, int seed)
    {
        var (season, published) = Season(seed);
        var now = Happened(season, published, what);
        var (one, other) = (Propose(now, published, Terms), Propose(now, published, Terms));
        Assert.Equal(one.Proposals.SelectMany(p => p.Plan.Placed), other.Proposals.SelectMany(p => p.Plan.Placed));
    }

    // At one point of change a student, no other proposal costs less in points and students together.
    [Theory]
    [InlineData(What.SiteClosed, 1)]
    [InlineData(What.InstructorAway, 3)]
    public void Propose_WithAPriceOfChanges_OffersTheCheapest(What what, int seed)
    {
        var (season, published) = Season(seed);
        var now = Happened(season, published, what);
        var terms = Terms with { Neighbours = [8], ChangesAStudent = 1 };
        int Least(ReplanTerms with) => Propose(now, published, with).Proposals.Min(p => p.Changes + p.CancelledStudents);
        Assert.True(Least(terms) <= Least(terms with { ChangesAStudent = null }));
        Assert.True(Least(terms) <= Least(terms with { Neighbours = [0], ChangesAStudent = null }));
    }

    [Fact]
    public void Propose_WhereNothingIsBroken_ProposesNothing()
    {
        var (season, published) = Season(1);
        var mending = Propose(season, published, Terms);
        Assert.Empty(mending.Broken);
        Assert.Empty(mending.Proposals);
    }

    private static void HoldsAndKeepsItsWord(SeasonCase season, ClassPlan published, PlanMending mending, MendedPlan proposal)
    {
        Assert.All(PlanChecker.Check(season, proposal.Plan), fault => Assert.Contains(fault.Classes, mending.Stuck.Contains));
        var before = published.Placed.ToDictionary(p => p.Class);
        var after = proposal.Plan.Placed.ToDictionary(p => p.Class);
        Assert.Equal(before.Keys.Except(after.Keys).Order(), proposal.Cancelled);
        Assert.Equal(
            before.Values.Except(after.Values).Select(p => p.Class).Except(proposal.Cancelled).Order(),
            proposal.Moved.Select(m => m.From.Class));
        Assert.Equal(proposal.Cancelled.Sum(c => season.Classes[c].Students), proposal.CancelledStudents);
        Assert.All(proposal.Moved, moved => Assert.True(moved.Faults.Count > 0 != moved.MakesRoomFor.Count > 0));
        Assert.All(proposal.Moved, moved => Assert.All(
            moved.To.Sessions.Except(moved.From.Sessions), s => Assert.True(Begins(season, moved.To, s) >= Loose)));
        Assert.All(before.Values, p => Assert.All(
            p.Sessions.Where(s => Begins(season, p, s) < Loose), s => Assert.Contains(s, after[p.Class].Sessions)));
    }

    private const double Loose = 24 * (Today + 1);

    private static double Begins(SeasonCase season, Placement p, Attendance session) => season.Sites[p.Site].SlotStartHours[session.Slot];

    private static PlanMending Propose(SeasonCase season, ClassPlan published, ReplanTerms terms) =>
        PlanMender.Propose(season, published, 24 * Today, Nobody, terms, CancellationToken.None);

    private static (SeasonCase Season, ClassPlan Published) Season(int seed)
    {
        var season = SyntheticSeason.Make(2, 5, 24, seed);
        return (season, GreedyPlanner.Best(season, 1));
    }

    // Each where most classes of the plan are met: the busiest person, site and offering.
    private static SeasonCase Happened(SeasonCase season, ClassPlan published, What what)
    {
        var who = Most(published.Placed.SelectMany(p => p.Sessions.Where(s => s.Day is >= 14 and <= 20).Select(s => s.Instructor)));
        var site = Most(published.Placed.Where(p => p.Machine.Day is >= 14 and <= 20).Select(p => p.Site));
        var offering = Most(published.Placed.Where(p => p.Site == site && p.Pour.Day is >= 8 and <= 20)
            .Select(p => season.Classes[p.Class].Offering));
        return what switch
        {
            What.InstructorAway => season.Away(who, 14, 20),
            What.SiteClosed => season.Closed(site, 15, 19),
            What.ColdSnap => season.Cold(site, 8, 24, 1.8),
            What.PlanerDown => season.PlanerDown(site, 14, 18),
            _ => season.LotOnHold(offering, site, 21),
        };
    }

    private static int Most(IEnumerable<int> of) => of.GroupBy(x => x).OrderByDescending(x => x.Count()).ThenBy(x => x.Key).First().Key;
}
