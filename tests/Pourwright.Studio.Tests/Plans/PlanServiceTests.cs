using System.Text;
using System.Xml.Linq;
using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Pourwright.Studio.Refusals;
using Pourwright.Testing;
using Pourwright.V1;
using Stage = Pourwright.V1.PlanProgress.Types.Stage;
using State = Pourwright.V1.Plan.Types.State;

namespace Pourwright.Studio.Tests.Plans;

public sealed class PlanServiceTests : IAsyncLifetime
{
    private const int Classes = 10;

    private StudioHarness _harness = null!;

    private PlanService.PlanServiceClient Plans => new(_harness.Channel);

    private ClassService.ClassServiceClient ClassesOf => new(_harness.Channel);

    public async Task InitializeAsync()
    {
        _harness = await StudioHarness.StartAsync(null, "--Plans:RoundsAClass=20", "--Plans:Coolings=2", "--Plans:ProvedClasses=0");
        await SampleChain.CreateAsync(_harness.Channel);
        await SampleChain.AskForAsync(_harness.Channel, Classes);
    }

    // What was published is told, before the node goes.
    public async Task DisposeAsync()
    {
        await _harness.SettleAsync();
        await _harness.DisposeAsync();
    }

    [Fact]
    public async Task PlanSeason_TellsAsItGoes_AndSavesADraft()
    {
        var told = await SeasonAsync();
        Assert.Equal(Stage.Cure, told[0].Stage);
        Assert.Contains(told, progress => progress.Stage == Stage.Search && progress.StudentCount > 0);
        var draft = told[^1].Plan;
        Assert.Equal((Stage.Done, State.Draft), (told[^1].Stage, draft.State));
        Assert.Equal(Classes, draft.Placed.Count + draft.Unplaced.Count);
        Assert.Equal(draft, await Plans.GetPlanAsync(new() { Name = draft.Name }));
        Assert.Empty((await ClassesOf.GetCastingClassAsync(new() { Name = SampleChain.Class(0) })).Sessions);
    }

    // What a class needs is elapsed time: the gap is from the end of the half day of its pour to the start of its machine day.
    [Fact]
    public async Task PlanSeason_EveryClass_IsReadyByItsMachineDay()
    {
        var draft = await DraftAsync();
        Assert.True(draft.Placed.Count >= 8);
        Assert.All(draft.Placed, placed =>
        {
            var (pour, machine) = (placed.Sessions[0], placed.Sessions[1]);
            Assert.Equal((Session.Types.Kind.Pour, Session.Types.Kind.Machine), (pour.Kind, machine.Kind));
            Assert.True(placed.ReadyChanceRatio >= 0.95);
            Assert.True(placed.GapDuration.ToTimeSpan() >= placed.LeastGapDuration.ToTimeSpan());
            Assert.Equal(machine.StartTime.ToDateTimeOffset() - pour.EndTime.ToDateTimeOffset(), placed.GapDuration.ToTimeSpan());
        });
    }

    [Fact]
    public async Task PlanSeason_TheSameRequestAgain_IsTheSameDraft()
    {
        var request = Request();
        request.RequestId = Guid.NewGuid().ToString();
        var (first, again) = ((await SeasonAsync(request))[^1].Plan, await SeasonAsync(request));
        Assert.Equal(first, Assert.Single(again).Plan);
        Assert.Single((await Plans.ListPlansAsync(new() { Parent = SampleChain.Name })).Plans);
    }

    [Fact]
    public async Task PlanSeason_NothingAskedForThen_IsRefused()
    {
        var request = Request();
        request.FirstDate = SampleChain.Date(new(2026, 9, 7));
        var refusal = await Assert.ThrowsAsync<RpcException>(() => SeasonAsync(request));
        Assert.Equal((StatusCode.FailedPrecondition, Reasons.SeasonEmpty), (refusal.StatusCode, refusal.Reason()));
    }

    /// <summary>`published` stands for the plan that holds, whichever that is.</summary>
    [Fact]
    public async Task PlanSeason_CalledPublished_IsRefused()
    {
        var request = Request();
        request.PlanId = "published";
        var refusal = await Assert.ThrowsAsync<RpcException>(() => SeasonAsync(request));
        Assert.Equal((StatusCode.InvalidArgument, Reasons.FieldInvalid), (refusal.StatusCode, refusal.Reason()));
    }

    // A client may leave at any moment of a call: before the search, in it, after it, and before its plan is saved.
    [Theory]
    [InlineData(Stage.Cure)]
    [InlineData(Stage.Search)]
    [InlineData(Stage.Check)]
    public async Task PlanSeason_ClientLeaves_KeepsTheBestSoFarIfAsked(Stage stage)
    {
        var request = Request();
        (request.KeepOnCancel, request.PlanId) = (true, "left-early");
        using var call = Plans.PlanSeason(request);
        while (await call.ResponseStream.MoveNext(CancellationToken.None) && call.ResponseStream.Current.Stage != stage) { }
        call.Dispose();
        // It is saved when the search has noticed: asked until it is there.
        var kept = Enumerable.Empty<Plan>();
        for (var asked = 0; asked < 10_000 && !kept.Any(); asked++)
            kept = (await Plans.ListPlansAsync(new() { Parent = SampleChain.Name })).Plans;
        Assert.Equal($"{SampleChain.Name}/plans/left-early", Assert.Single(kept).Name);
    }

    [Fact]
    public async Task PublishPlan_ADraft_GivesClassesTheirSessionsOnce()
    {
        var draft = await DraftAsync();
        var placed = draft.Placed[0];
        var published = await PublishAsync(draft.Name);
        Assert.Equal((State.Published, "Olive"), (published.State, published.Publisher));
        var confirmed = await ClassesOf.GetCastingClassAsync(new() { Name = placed.CastingClass });
        Assert.Equal(CastingClass.Types.State.Confirmed, confirmed.State);
        Assert.Equal(
            placed.Sessions.Select(session => (session.Kind, session.Date, session.StartTimeOfDay, session.StartTime, session.Instructor, placed.Site, placed.Bench)),
            confirmed.Sessions.Select(session => (session.Kind, session.Date, session.StartTimeOfDay, session.StartTime, session.Instructor, session.Site, session.Bench)));
        Assert.Equal(published.Name, (await Plans.GetPlanAsync(new() { Name = $"{SampleChain.Name}/plans/published" })).Name);
        var refusal = await Assert.ThrowsAsync<RpcException>(() => PublishAsync(draft.Name));
        Assert.Equal(Reasons.PlanState, refusal.Reason());
    }

    [Fact]
    public async Task PublishPlan_SiteClosedSince_IsStale()
    {
        var draft = await DraftAsync();
        var machine = draft.Placed[0].Sessions[1];
        await new SiteService.SiteServiceClient(_harness.Channel).CreateOutageAsync(new()
        {
            Parent = draft.Placed[0].Site, Outage = new() { StartTime = machine.StartTime, EndTime = machine.EndTime, Reason = "Painters" },
        });
        var refusal = await Assert.ThrowsAsync<RpcException>(() => PublishAsync(draft.Name));
        Assert.Equal((StatusCode.FailedPrecondition, Reasons.PlanStale), (refusal.StatusCode, refusal.Reason()));
        Assert.Contains("SiteOpen", refusal.Facts()["cause"], StringComparison.Ordinal);
    }

    [Fact]
    public async Task PlanSeason_AfterAPublishedOne_LeavesItsClassesWhereTheyAre()
    {
        var published = await PublishAsync((await DraftAsync()).Name);
        await SampleChain.AskForMoreAsync(_harness.Channel, Classes, 4);
        var next = await DraftAsync();
        Assert.Equal(published.Name, next.BasePlan);
        Assert.All(published.Placed, before => Assert.Equal(before.Sessions, next.Placed.Single(now => now.CastingClass == before.CastingClass).Sessions));
        Assert.True(next.Placed.Count > published.Placed.Count);
        Assert.Equal((0, 0), (next.MovedCount, next.CancelledCount));
    }

    // Set by hand half an hour into its half days: a season drafted and published for the others leaves it so, and tells nobody.
    [Fact]
    public async Task PublishPlan_ClassSetByHand_KeepsItsTimesToTheMinute()
    {
        var first = await DraftAsync();
        var byHand = await SetByHandAsync(first.Placed[0]);
        await _harness.SettleAsync();
        var before = await ToldOfAsync(byHand.Name);
        var draft = await DraftAsync();
        Assert.Equal(
            byHand.Sessions.Select(session => session.StartTime),
            draft.Placed.Single(placed => placed.CastingClass == byHand.Name).Sessions.Select(session => session.StartTime));
        var published = await PublishAsync(draft.Name);
        await _harness.SettleAsync();
        Assert.Contains(published.Placed, placed => placed.CastingClass != byHand.Name);
        Assert.Equal(byHand.Sessions, (await ClassesOf.GetCastingClassAsync(new() { Name = byHand.Name })).Sessions);
        Assert.Equal(before, await ToldOfAsync(byHand.Name));
    }

    // Drafted without dates of its own, then given some by hand: the draft would take them away again.
    [Fact]
    public async Task PublishPlan_ClassGivenDatesSince_IsStale()
    {
        var draft = await DraftAsync();
        _harness.Clock.Advance(TimeSpan.FromMinutes(1));
        var byHand = await SetByHandAsync(draft.Placed[0], days: 1);
        var refusal = await Assert.ThrowsAsync<RpcException>(() => PublishAsync(draft.Name));
        Assert.Equal((StatusCode.FailedPrecondition, Reasons.PlanStale), (refusal.StatusCode, refusal.Reason()));
        Assert.Equal(byHand.Sessions, (await ClassesOf.GetCastingClassAsync(new() { Name = byHand.Name })).Sessions);
    }

    private async Task<CastingClass> SetByHandAsync(PlannedClass placed, int days = 0) => await ClassesOf.ScheduleSessionsAsync(new()
    {
        Name = placed.CastingClass,
        Sessions =
        {
            placed.Sessions.Select(session => new SessionTime
            {
                Kind = session.Kind, Site = placed.Site, Instructor = session.Instructor,
                Date = SampleChain.Date(new DateOnly(session.Date.Year, session.Date.Month, session.Date.Day).AddDays(session.Kind == Session.Types.Kind.Pour ? 0 : days)),
                StartTimeOfDay = new() { Hours = session.StartTimeOfDay.Hours, Minutes = session.StartTimeOfDay.Minutes + 30 },
                SessionDuration = Duration.FromTimeSpan(TimeSpan.FromHours(2)),
            }),
        },
    });

    private async Task<int> ToldOfAsync(string castingClass) =>
        (await new ReminderService.ReminderServiceClient(_harness.Channel).ListRemindersAsync(new() { Parent = SampleChain.Name, PageSize = 1000 })).Reminders
            .Count(reminder => reminder.Subject == castingClass);

    // Nobody may teach boards any more: whatever day, what is in the way is what people may teach.
    [Fact]
    public async Task ExplainClass_NobodyQualified_SaysSoAndProposesIt()
    {
        var people = new InstructorService.InstructorServiceClient(_harness.Channel);
        foreach (var who in (await people.ListInstructorsAsync(new() { Parent = SampleChain.Name })).Instructors.Where(who => who.Offerings.Contains(SampleChain.Board)))
        {
            who.Offerings.Remove(SampleChain.Board);
            if (who.Offerings.Count == 0) who.Offerings.Add(SampleChain.Tray);
            await people.UpdateInstructorAsync(new() { Instructor = who });
        }
        var draft = await DraftAsync();
        var left = draft.Unplaced.Single(unplaced => unplaced.CastingClass == SampleChain.Class(0));
        Assert.Contains("may teach", left.Reason, StringComparison.Ordinal);
        var why = await Plans.ExplainClassAsync(new() { Name = draft.Name, CastingClass = SampleChain.Class(0) });
        Assert.Contains("what instructors may teach", why.Conflicts);
        Assert.NotEmpty(why.Ways);
        Assert.All(why.Ways, way => Assert.True(way.Changes.Count > 0 && way.Placed.Sessions.Count >= 2));
        var refusal = await Assert.ThrowsAsync<RpcException>(async () =>
            await Plans.ExplainClassAsync(new() { Name = draft.Name, CastingClass = draft.Placed[0].CastingClass }));
        Assert.Equal(Reasons.ClassPlaced, refusal.Reason());
    }

    [Fact]
    public async Task DrawPlan_EveryFormat_ShowsTheClasses()
    {
        var draft = await DraftAsync();
        async Task<byte[]> Draw(DrawPlanRequest.Types.Format format) => (await Plans.DrawPlanAsync(new() { Name = draft.Name, Format = format })).Data.ToByteArray();
        var svg = XDocument.Parse(Encoding.UTF8.GetString(await Draw(DrawPlanRequest.Types.Format.Svg)));
        Assert.All(draft.Placed, placed => Assert.Contains(placed.CastingClass.Split('/')[^1], svg.ToString(), StringComparison.Ordinal));
        Assert.Contains("Harbour", svg.ToString(), StringComparison.Ordinal);
        Assert.Equal([0x89, (byte)'P', (byte)'N', (byte)'G'], (await Draw(DrawPlanRequest.Types.Format.Png))[..4]);
        Assert.Equal("%PDF"u8.ToArray(), (await Draw(DrawPlanRequest.Types.Format.Pdf))[..4]);
    }

    private static PlanSeasonRequest Request() => new()
    {
        Parent = SampleChain.Name, FirstDate = SampleChain.Date(SampleChain.FirstDay), DayCount = SampleChain.PourDays,
    };

    private async Task<IReadOnlyList<PlanProgress>> SeasonAsync(PlanSeasonRequest? request = null)
    {
        List<PlanProgress> told = [];
        using var call = Plans.PlanSeason(request ?? Request());
        await foreach (var progress in call.ResponseStream.ReadAllAsync()) told.Add(progress);
        return told;
    }

    private async Task<Plan> DraftAsync() => (await SeasonAsync())[^1].Plan;

    private async Task<Plan> PublishAsync(string name) => await Plans.PublishPlanAsync(new() { Name = name, Publisher = "Olive" });
}
