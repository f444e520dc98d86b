using Pourwright.Planning.Checking;
using Pourwright.Planning.Replanning;
using Pourwright.Planning.Season;
using Pourwright.Planning.Tests.Explaining;
using static Pourwright.Planning.Tests.Explaining.CrowdedSeason;

namespace Pourwright.Planning.Tests.Replanning;

/// <summary>River pours on Monday, day 7, is machined on Wednesday and finished on Thursday afternoon, all by Ada at North.</summary>
public class FrozenSessionsTests
{
    private static readonly Placement River = Placed(0, North, 7, 9, 10);
    private static readonly ClassPlan Published = new([River]);

    // Sunday noon is 21 h before the pour at 9:00.
    private const double SundayNoon = 6 * 24 + 12;

    [Fact]
    public void Propose_InstructorIllTomorrow_LeavesTheClassToAPerson()
    {
        var mending = Propose(Unhindered.Away(Ada, 7, 7), Published, SundayNoon);
        Assert.Equal([0], mending.Stuck);
        Assert.Equal([PlanRule.Available], mending.Broken.Single().Faults.Select(f => f.Rule));
        Assert.Empty(mending.Proposals);
    }

    // From Tuesday 13:00 the 38.25 h are over on Thursday, but only Saturday, 92 h later, leaves the 48 h of slack that cost nothing.
    [Fact]
    public void Propose_InstructorIllTomorrowAndClassNamed_MovesIt()
    {
        var mending = Propose(Unhindered.Away(Ada, 7, 7), Published, SundayNoon, 0);
        var moved = mending.Proposals[0].Moved.Single();
        Assert.Equal((8, 12), (moved.To.Pour.Day, moved.To.Machine.Day));
        Assert.Equal(3, mending.Proposals[0].Changes);
        Assert.Equal(PlanRule.Available, moved.Faults.Single().Rule);
    }

    // 1.5 · 38.25 h = 57.4 h from Monday 13:00 are over on Thursday at 9:00, 68 h later, but with a slack of 10.6 h, which costs
    // points: so Friday. The pour lies in the past.
    [Fact]
    public void Propose_ColdAfterThePour_MovesTheSessionsAfterItAlone()
    {
        var cold = Unhindered.Cold(North, 7, 8, 1.5);
        var mending = Propose(cold, Published, 8 * 24);
        var proposal = mending.Proposals[0];
        var moved = proposal.Moved.Single();
        Assert.Equal(River.Pour, moved.To.Pour);
        Assert.Equal(11, moved.To.Machine.Day);
        Assert.Equal(2, proposal.Changes);
        Assert.True(proposal.Proved);
    }

    // Pieces of river lie poured, and with four days at most they are never ready: whether they are thrown away is a person's to say.
    [Fact]
    public void Propose_ColdThatNoMachineDayCures_LeavesTheClassToAPerson()
    {
        var mending = Propose(Unhindered.Cold(North, 7, 8, 3), Published, 8 * 24);
        Assert.Equal([0], mending.Stuck);
        Assert.Empty(mending.Proposals);
    }

    // North is closed on Monday, river may pour on Tuesday alone and is machined two days later, when tray has the machines.
    [Fact]
    public void Propose_TrayInTheWay_MovesItAndSaysForWhom()
    {
        var season = Unhindered with
        {
            Offerings = [Unhindered.Offerings[0] with { LongestGapDays = 2 }],
            Classes = [Class("river"), Class("tray") with { FirstDay = 1, LastDay = 20 }],
        };
        ClassPlan published = new([River with { Finish = new(2 * 11, Ada) }, Placed(1, North, 8, 10, 11)]);
        Assert.Empty(PlanChecker.Check(season, published));
        var proposals = Propose(season.Closed(North, 7, 7), published, 0).Proposals;
        Assert.Equal([(0, 6), (6, 0)], proposals.Select(p => (p.CancelledStudents, p.Changes)));
        Assert.Equal([0], proposals[0].Moved.Single(m => m.From.Class == 1).MakesRoomFor);
        Assert.Equal([0], proposals[1].Cancelled);
    }

    private static PlanMending Propose(SeasonCase season, ClassPlan published, double nowHours, params HashSet<int> named) =>
        PlanMender.Propose(season, published, nowHours, named, new(), CancellationToken.None);
}
