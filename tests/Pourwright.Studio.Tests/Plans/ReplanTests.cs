using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Pourwright.Studio.Refusals;
using Pourwright.Testing;
using Pourwright.V1;
using State = Pourwright.V1.Plan.Types.State;

namespace Pourwright.Studio.Tests.Plans;

public sealed class ReplanTests : IAsyncLifetime
{
    private StudioHarness _harness = null!;
    private Plan _published = null!;

    private PlanService.PlanServiceClient Plans => new(_harness.Channel);

    public async Task InitializeAsync()
    {
        _harness = await StudioHarness.StartAsync(null, "--Plans:RoundsAClass=20", "--Plans:Coolings=2", "--Plans:ProvedClasses=0", "--Plans:ReplanStageSeconds=2");
        await SampleChain.CreateAsync(_harness.Channel);
        await SampleChain.AskForAsync(_harness.Channel, 8);
        using var call = Plans.PlanSeason(new()
        {
            Parent = SampleChain.Name, FirstDate = SampleChain.Date(SampleChain.FirstDay), DayCount = SampleChain.PourDays, PlanId = "first",
        });
        await foreach (var _ in call.ResponseStream.ReadAllAsync()) { }
        _published = await Plans.PublishPlanAsync(new() { Name = $"{SampleChain.Name}/plans/first", Publisher = "Olive" });
    }

    // What was published is told, before the node goes.
    public async Task DisposeAsync()
    {
        await _harness.SettleAsync();
        await _harness.DisposeAsync();
    }

    [Fact]
    public async Task Replan_InstructorAway_ProposesAndSaysWhy_AndChangesNothing()
    {
        var (who, on) = (_published.Placed[0].Sessions[1].Instructor, _published.Placed[0].Sessions[1].Date);
        var proposals = await ReplanAsync(new() { InstructorAway = new() { Instructor = who }, StartDate = on, EndDate = on });
        Assert.NotEmpty(proposals);
        Assert.All(proposals, proposal =>
        {
            Assert.Equal((State.Proposed, _published.Name), (proposal.State, proposal.BasePlan));
            Assert.DoesNotContain(proposal.Placed.SelectMany(placed => placed.Sessions), session => session.Instructor == who && session.Date.Equals(on));
            Assert.True(proposal.MovedCount + proposal.CancelledCount > 0);
            Assert.Contains(proposal.Placed, placed => placed.Change.Contains("is away", StringComparison.Ordinal));
        });
        // Nothing that is proposed is worse than another in both.
        var frontier = proposals.Select(proposal => (Students: -proposal.StudentCount, Moved: proposal.MovedCount)).ToList();
        Assert.Equal(frontier.Select(point => point.Students).OrderDescending(), frontier.Select(point => point.Students));
        Assert.Equal(_published, await Plans.GetPlanAsync(new() { Name = $"{SampleChain.Name}/plans/published" }));
    }

    [Fact]
    public async Task ChooseProposal_SiteClosed_PublishesItAndRecordsTheClosure()
    {
        var placed = _published.Placed[0];
        var on = placed.Sessions[1].Date;
        var proposals = await ReplanAsync(new() { SiteClosed = new() { Site = placed.Site }, StartDate = on, EndDate = on });
        var chosen = await Plans.ChooseProposalAsync(new() { Name = proposals[0].Name, Chooser = "Olive" });
        Assert.Equal((State.Published, "Olive"), (chosen.State, chosen.Publisher));
        Assert.Contains("is closed on", chosen.Reason, StringComparison.Ordinal);
        Assert.Equal(State.Superseded, (await Plans.GetPlanAsync(new() { Name = _published.Name })).State);
        Assert.Single((await new SiteService.SiteServiceClient(_harness.Channel).ListOutagesAsync(new() { Parent = placed.Site })).Outages);
        var sessions = (await new ClassService.ClassServiceClient(_harness.Channel).GetCastingClassAsync(new() { Name = placed.CastingClass })).Sessions;
        Assert.DoesNotContain(sessions, session => session.State != Session.Types.State.Cancelled && session.Site == placed.Site && session.Date.Equals(on));
        var other = await Assert.ThrowsAsync<RpcException>(async () => await Plans.ChooseProposalAsync(new() { Name = proposals[0].Name, Chooser = "Olive" }));
        Assert.Equal(Reasons.PlanState, other.Reason());
    }

    // Half a day before the machine day it is too late to move it, unless somebody answers for that.
    [Fact]
    public async Task ChooseProposal_SessionCloseAtHand_WantsAName()
    {
        var first = _published.Placed.MinBy(placed => placed.Sessions[0].StartTime)!;
        _harness.Clock.SetUtcNow(first.Sessions[0].StartTime.ToDateTimeOffset().AddHours(-12));
        var on = first.Sessions[0].Date;
        var happened = new PlanEvent { SiteClosed = new() { Site = first.Site }, StartDate = on, EndDate = on };
        var stuck = await ReplanAsync(happened);
        Assert.All(stuck, proposal => Assert.Contains(proposal.Cautions, caution => caution.Reason == Reasons.PlanBreaksRule));
        var named = await ReplanAsync(happened, first.CastingClass);
        Assert.NotEmpty(named);
        var refusal = await Assert.ThrowsAsync<RpcException>(async () => await Plans.ChooseProposalAsync(new() { Name = named[0].Name, Chooser = "Olive" }));
        Assert.Equal(Reasons.SessionTooNear, refusal.Reason());
        var chosen = await Plans.ChooseProposalAsync(new() { Name = named[0].Name, Chooser = "Olive", NearSessionsDecider = "Olive, who rang all four" });
        Assert.Equal(State.Published, chosen.State);
    }

    [Fact]
    public async Task Replan_ColdSnap_GivesPiecesMoreTime()
    {
        var placed = _published.Placed.Where(p => p.LeastGapDuration.ToTimeSpan() > TimeSpan.FromHours(72)).MinBy(p => p.GapDuration.ToTimeSpan() - p.LeastGapDuration.ToTimeSpan())!;
        var proposals = await ReplanAsync(new()
        {
            ColdSnap = new() { Site = placed.Site, OffsetCelsius = -6 }, StartDate = placed.Sessions[0].Date, EndDate = placed.Sessions[1].Date,
        });
        Assert.NotEmpty(proposals);
        Assert.All(proposals, proposal => Assert.All(proposal.Placed, p => Assert.True(p.ReadyChanceRatio >= 0.95)));
    }

    // No lot was received anywhere: with this one held, nothing of its resin can be poured at any site, and its classes are given up
    // or lie after the hold.
    [Fact]
    public async Task Replan_LotOnHold_PoursNothingOfItsResinMeanwhile()
    {
        await SampleChain.ReceiveAsync(_harness.Channel, SampleChain.Site(0));
        var (first, last) = (SampleChain.FirstDay, SampleChain.FirstDay.AddDays(7));
        var proposals = await ReplanAsync(new()
        {
            LotOnHold = new() { Lot = $"{SampleChain.Name}/lots/deep-a-lot" }, StartDate = SampleChain.Date(first), EndDate = SampleChain.Date(last),
        });
        Assert.NotEmpty(proposals);
        var classes = new ClassService.ClassServiceClient(_harness.Channel);
        foreach (var placed in proposals[0].Placed)
        {
            var date = placed.Sessions[0].Date;
            if (new DateOnly(date.Year, date.Month, date.Day) > last) continue;
            Assert.Equal(SampleChain.Coaster, (await classes.GetCastingClassAsync(new() { Name = placed.CastingClass })).Offering);
        }
    }

    [Fact]
    public async Task Replan_StationDown_SawsNothingThere()
    {
        var placed = _published.Placed[0];
        var on = placed.Sessions[1].Date;
        var proposals = await ReplanAsync(new() { StationDown = new() { Station = $"{placed.Site}/stations/saw" }, StartDate = on, EndDate = on });
        Assert.NotEmpty(proposals);
        Assert.All(proposals, proposal => Assert.DoesNotContain(
            proposal.Placed, other => other.Site == placed.Site && other.Sessions[1].Date.Equals(on)));
    }

    [Fact]
    public async Task Replan_NothingBroken_ProposesNothing() => Assert.Empty(await ReplanAsync(new()
    {
        InstructorAway = new() { Instructor = SampleChain.Instructor("goran") },
        StartDate = SampleChain.Date(new(2026, 7, 1)), EndDate = SampleChain.Date(new(2026, 7, 3)),
    }));

    [Fact]
    public async Task Replan_NobodyByThatName_IsNotFound()
    {
        var refusal = await Assert.ThrowsAsync<RpcException>(() => ReplanAsync(new()
        {
            InstructorAway = new() { Instructor = SampleChain.Instructor("nobody") },
            StartDate = SampleChain.Date(new(2026, 3, 1)), EndDate = SampleChain.Date(new(2026, 3, 1)),
        }));
        Assert.Equal(StatusCode.NotFound, refusal.StatusCode);
    }

    private async Task<IReadOnlyList<Plan>> ReplanAsync(PlanEvent happened, params string[] near)
    {
        PlanProgress last = new();
        using var call = Plans.Replan(new() { Parent = SampleChain.Name, Event = happened, NearClasses = { near } });
        await foreach (var progress in call.ResponseStream.ReadAllAsync()) last = progress;
        Assert.Equal(PlanProgress.Types.Stage.Done, last.Stage);
        return last.Proposals;
    }
}
