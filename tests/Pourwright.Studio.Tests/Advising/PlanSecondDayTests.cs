using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Pourwright.Studio.Tests.Forecasts;
using Pourwright.Testing;
using Pourwright.V1;
using Cutter = Pourwright.V1.PlanSecondDayRequest.Types.Cutter;
using RungState = Pourwright.V1.PieceReadiness.Types.Rung.Types.State;
using Work = Pourwright.V1.WorkStep.WorkOneofCase;

namespace Pourwright.Studio.Tests.Advising;

/// <summary>Habits of the bench: common practice, no source; the arithmetic on them is what is checked.</summary>
public sealed class PlanSecondDayTests : IAsyncLifetime
{
    private CastingDesk _desk = null!;

    public async Task InitializeAsync() => _desk = await CastingDesk.StartAsync();

    public async Task DisposeAsync() => await _desk.DisposeAsync();

    // Not before, then after: curing, due, felt for the planer alone, felt for the disc too.
    [Fact]
    public async Task Plan_OfAPiece_GoesAsFarAsForecastAndTouch()
    {
        await _desk.PourAndSettleAsync(depthMm: 30, resinCelsius: 20);
        var forecast = await _desk.LatestAsync();
        var (handle, sand) = (CastingDesk.Safe(forecast, Gate.Handle), CastingDesk.Safe(forecast, Gate.Sand));
        Assert.True(sand > handle.AddDays(1));

        var curing = await PlanAsync();
        Assert.Empty(curing.Steps);
        Assert.Equal((Gate.Handle, RungState.Curing, handle), (curing.Stop.Gate, curing.Stop.State, curing.Stop.SafeTime.ToDateTimeOffset()));
        Assert.Contains("part-cured", Caution(curing, "UNCURED_DUST"));

        await AdvanceToAsync(handle.AddDays(1));
        var due = await PlanAsync();
        Assert.Empty(due.Steps);
        Assert.Equal((Gate.Handle, RungState.CheckDue), (due.Stop.Gate, due.Stop.State));
        Assert.Contains("Test by touch", due.Stop.Text);

        await TouchAsync(Check.Types.Touch.Firm);
        var planed = await PlanAsync();
        Assert.All(planed.Steps, step => Assert.True(step.WorkCase is Work.PlanerPass or Work.TurnOver));
        Assert.Equal((Gate.Sand, RungState.Curing), (planed.Stop.Gate, planed.Stop.State));
        // What was felt is learned from: the forecast that stands now says when.
        Assert.Equal(CastingDesk.Safe(await _desk.LatestAsync(), Gate.Sand), planed.Stop.SafeTime.ToDateTimeOffset());
        Assert.Contains("Only people trained", Caution(planed, "MACHINE_WORK"));

        await AdvanceToAsync(planed.Stop.SafeTime.ToDateTimeOffset().AddDays(1));
        await TouchAsync(Check.Types.Touch.Firm);
        var before = _desk.Rows();
        var whole = await PlanAsync();
        Assert.Null(whole.Stop);
        Assert.Contains("closed metal can", Caution(whole, "OILY_RAGS"));
        Assert.DoesNotContain(whole.Cautions, caution => caution.Reason == "UNCURED_DUST");
        Assert.Equal(before, _desk.Rows());

        await _desk.Harness.AdvanceAsync(TimeSpan.FromMinutes(1));
        await TouchAsync(Check.Types.Touch.Tacky);
        Assert.Equal(RungState.Contradicted, (await PlanAsync()).Stop.State);
    }

    // Read 40, wanted 36: 41.5 (between 41 and 42: over unread high spots), 39.5 clean, turn, 37.5, 36; helical head: from 120 on.
    // Two coats: 15 min laid, 15 soaking, 10 wiped, 24 h each.
    [Fact]
    public async Task Plan_OfAHardPiece_HasPlanerGritsAndCoatsInOrderAndTime()
    {
        await HardAsync();
        var start = _desk.Harness.Clock.GetUtcNow();
        var plan = await PlanAsync();

        Assert.Equal([41.5, 39.5, 37.5, 36], Passes(plan).Select(pass => pass.SettingMm));
        Assert.Equal([false, false, true, true], Passes(plan).Select(pass => pass.SecondFace));
        Assert.Equal(Work.TurnOver, plan.Steps[2].WorkCase);
        Assert.Equal([120, 150, 180, 220, 320], Grits(plan));
        Assert.Equal(
            [Work.Coat, Work.Wait, Work.WipeOff, Work.Wait, Work.Coat, Work.Wait, Work.WipeOff, Work.Wait], plan.Steps.TakeLast(8).Select(step => step.WorkCase));
        Assert.Equal(start, plan.Steps[0].StartTime.ToDateTimeOffset());
        foreach (var (step, next) in plan.Steps.Zip(plan.Steps.Skip(1)))
            Assert.Equal((step.StartTime + step.Duration).ToDateTimeOffset(), next.StartTime.ToDateTimeOffset(), TimeSpan.FromMilliseconds(2));
        Assert.Equal(TimeSpan.FromHours(48.5), plan.WaitDuration.ToTimeSpan());
        // Two faces of 400 x 250 under a 150 mm disc: 2 (4 · 400 + 6 · 250) = 6200 mm, at 25 mm/s 248 s, and a minute a grit.
        var sanding = plan.Steps.First(step => step.WorkCase == Work.SandGrit);
        Assert.Equal((20, 248.0 + 60), (sanding.SandGrit.LaneCount, sanding.Duration.ToTimeSpan().TotalSeconds));
        Assert.Equal(plan.Steps[0].StartTime + plan.WorkDuration + plan.WaitDuration, plan.EndTime);
    }

    [Theory]
    [InlineData(Cutter.HelicalHead, 120)]
    [InlineData(Cutter.StraightKnives, 100)]
    [InlineData(Cutter.RouterSled, 80)]
    public async Task Plan_AfterEachCutter_BeginsWhereItLeftTheFace(Cutter cutter, int grit)
    {
        await HardAsync();
        var request = AdviceDesk.SecondDay(40);
        request.Cutter = cutter;
        Assert.Equal(grit, Grits(await _desk.Advice().PlanSecondDayAsync(request))[0]);
    }

    // A studio that takes 0.5 mm off resin, begins at 80 after straight knives and oils once.
    [Fact]
    public async Task Plan_WithTheStudiosHabits_FollowsThem()
    {
        await HardAsync();
        var request = AdviceDesk.SecondDay(37.5);
        request.Cutter = Cutter.StraightKnives;
        request.Settings = new() { HighSpotsMm = 1, PassMm = 0.5, SecondFaceMm = 0.5, StraightKnivesFirstGrit = 80, CoatCount = 1, HandOverDuration = Hours(36) };

        var plan = await _desk.Advice().PlanSecondDayAsync(request);

        // 38.5, then 0.5 at a time until under 37.5: 38, 37.5, 37; turned: 36.5, 36.
        Assert.Equal([38.5, 38, 37.5, 37, 36.5, 36], Passes(plan).Select(pass => pass.SettingMm));
        Assert.Equal(80, Grits(plan)[0]);
        Assert.Single(plan.Steps, step => step.WorkCase == Work.Coat);
        Assert.Equal(36.25, plan.WaitDuration.ToTimeSpan().TotalHours, 1e-9);
    }

    // The readings of the checks count, those from before the last planing do not.
    [Fact]
    public async Task Plan_WithoutReadings_TakesThoseOfTheChecksSinceItWasLastPlaned()
    {
        await HardAsync();
        Assert.Equal(("FIELD_INVALID", "thickness_mm"), await RefusalAsync(AdviceDesk.SecondDay()));

        await MeasureAsync(43);
        await _desk.Harness.AdvanceAsync(TimeSpan.FromMinutes(1));
        await MeasureAsync(41);
        Assert.Equal([43, 41], (await _desk.Advice().PlanSecondDayAsync(AdviceDesk.SecondDay())).ThicknessMm);

        await _desk.StepAsync(Step.Types.Kind.Demold);
        await _desk.Harness.AdvanceAsync(TimeSpan.FromHours(1));
        await _desk.StepAsync(Step.Types.Kind.Plane);
        await _desk.Harness.AdvanceAsync(TimeSpan.FromHours(1));
        await MeasureAsync(38.2);
        Assert.Equal([38.2], (await _desk.Advice().PlanSecondDayAsync(AdviceDesk.SecondDay())).ThicknessMm);
    }

    // Asked the evening before, for the morning: nobody can have felt it then, and the safe time is what stops or not.
    [Fact]
    public async Task Plan_ForAStartToCome_IsJudgedAtThatStart()
    {
        await _desk.PourAndSettleAsync(depthMm: 30, resinCelsius: 20);
        var request = AdviceDesk.SecondDay(40);
        Assert.Equal(RungState.Curing, (await _desk.Advice().PlanSecondDayAsync(request)).Stop.State);
        request.StartTime = Timestamp.FromDateTimeOffset(CastingDesk.Safe(await _desk.LatestAsync(), Gate.Handle).AddHours(1));
        Assert.Equal(RungState.CheckDue, (await _desk.Advice().PlanSecondDayAsync(request)).Stop.State);
    }

    [Fact]
    public async Task Plan_OfAPieceThatCannotBePlaned_IsRefused()
    {
        Assert.Equal("PIECE_NOT_POURED", await CastingDesk.ReasonAsync(PlanAsync));
        await _desk.PourAndSettleAsync();
        Assert.Equal("CURE_MODEL_RANGE", await CastingDesk.ReasonAsync(async () => await _desk.Advice().PlanSecondDayAsync(AdviceDesk.SecondDay(36.4))));
        await _desk.StepAsync(Step.Types.Kind.Scrap);
        await _desk.Harness.SettleAsync();
        Assert.Equal("PIECE_SCRAPPED", await CastingDesk.ReasonAsync(PlanAsync));
    }

    private async Task HardAsync()
    {
        await _desk.PourAndSettleAsync(depthMm: 30, resinCelsius: 20);
        await AdvanceToAsync(CastingDesk.Safe(await _desk.LatestAsync(), Gate.Sand).AddDays(2));
        await TouchAsync(Check.Types.Touch.Firm);
    }

    private async Task TouchAsync(Check.Types.Touch touch)
    {
        await _desk.TouchAsync(touch);
        await _desk.Harness.SettleAsync();
    }

    private Task AdvanceToAsync(DateTimeOffset time) => _desk.Harness.AdvanceAsync(time - _desk.Harness.Clock.GetUtcNow());

    private async Task<SecondDayPlan> PlanAsync() => await _desk.Advice().PlanSecondDayAsync(AdviceDesk.SecondDay(40));

    private async Task MeasureAsync(double thicknessMm) => await _desk.Pieces.RecordCheckAsync(
        new() { Parent = CastingDesk.Piece, Check = new() { Checker = "Ivo", ThicknessMm = thicknessMm } });

    private async Task<(string, string)> RefusalAsync(PlanSecondDayRequest request)
    {
        var refusal = await Assert.ThrowsAsync<RpcException>(async () => await _desk.Advice().PlanSecondDayAsync(request));
        return (refusal.Reason(), Assert.Single(refusal.Fields()));
    }

    private static IEnumerable<WorkStep.Types.PlanerPass> Passes(SecondDayPlan plan) =>
        plan.Steps.Where(step => step.WorkCase == Work.PlanerPass).Select(step => step.PlanerPass);

    private static List<int> Grits(SecondDayPlan plan) =>
        [.. plan.Steps.Where(step => step.WorkCase == Work.SandGrit).Select(step => step.SandGrit.Grit)];

    private static string Caution(SecondDayPlan plan, string reason) => plan.Cautions.Single(caution => caution.Reason == reason).Text;

    private static Duration Hours(double hours) => Duration.FromTimeSpan(TimeSpan.FromHours(hours));
}
