using Grpc.Core;
using Pourwright.Cure.Ladder;
using Pourwright.Cure.Readiness;
using Pourwright.Testing;
using Pourwright.V1;
using Cause = Pourwright.V1.Forecast.Types.Cause;

namespace Pourwright.Studio.Tests.Forecasts;

public sealed class ForecastServiceTests : IAsyncLifetime
{
    /// <summary>K of standard deviation of a room that is planned and not measured.</summary>
    private const double PlannedDoubt = 2.5;

    private CastingDesk _desk = null!;

    public async Task InitializeAsync() => _desk = await CastingDesk.StartAsync();

    public async Task DisposeAsync() => await _desk.DisposeAsync();

    [Fact]
    public async Task RecordPour_IsForecastOnceItIsSavedAndNotBefore()
    {
        var asked = CastingDesk.PourRequest((await _desk.PourAsync(piece: await OtherPieceAsync())).Mix, 20);
        asked.ValidateOnly = true;
        await _desk.Pieces.RecordPourAsync(asked);
        await _desk.Harness.SettleAsync();
        Assert.Equal("FORECAST_NOT_FOUND", await CastingDesk.ReasonAsync(() => _desk.LatestAsync()));

        await _desk.PourAndSettleAsync();

        var forecast = await _desk.LatestAsync();
        Assert.Equal(($"{CastingDesk.Piece}/forecasts/1", Cause.Pour), (forecast.Name, forecast.Cause));
        Assert.Equal(StudioHarness.Start, forecast.PourTime.ToDateTimeOffset());
        Assert.Contains("planned 20.0 °C", forecast.RoomAssumption);
        Assert.Null(forecast.LastReadingTime);
    }

    [Fact]
    public async Task Forecast_OfAPour_IsWhatTheEngineSays()
    {
        await _desk.PourAndSettleAsync(depthMm: 30, resinCelsius: 23);

        var engine = _desk.Engine(30, 23, new AmbientPoint(0, 20, PlannedDoubt));
        var forecast = await _desk.LatestAsync();
        Assert.Equal(
            [Gate.FirstGel, Gate.Gel, Gate.Demold, Gate.Handle, Gate.Sand, Gate.Recoat, Gate.HandOver, Gate.FullCure],
            forecast.Gates.Select(gate => gate.Gate));
        Assert.Equal(AfterStart(engine[LadderGate.FirstGel].Times.LikelyHours), forecast.Gates[0].LikelyTime.ToDateTimeOffset());
        Assert.Equal(AfterStart(engine[LadderGate.Gel].Times.EarliestHours), forecast.Gates[1].EarliestTime.ToDateTimeOffset());
        Assert.Equal(AfterStart(engine[LadderGate.Demold].Times.LikelyHours), forecast.Gates[2].LikelyTime.ToDateTimeOffset());
        Assert.Equal(AfterStart(engine[LadderGate.Handle].Times.SafeHours), forecast.Gates[3].SafeTime.ToDateTimeOffset());
        Assert.Equal(AfterStart(engine[LadderGate.Sand].Times.SafeHours), forecast.Gates[4].SafeTime.ToDateTimeOffset());
        Assert.Equal(AfterStart(engine.Recoat.SafeHours), forecast.Gates[5].SafeTime.ToDateTimeOffset());
        Assert.Equal(AfterStart(engine.HandOver.SafeHours), forecast.Gates[6].SafeTime.ToDateTimeOffset());
        Assert.Equal(AfterStart(engine[LadderGate.FullCure].Times.LikelyHours), forecast.Gates[7].LikelyTime.ToDateTimeOffset());
        Assert.Equal(AfterStart(engine.NextLayer.Opens.SafeHours), forecast.NextLayer.OpensSafeTime.ToDateTimeOffset());
        Assert.Equal(AfterStart(engine.NextLayer.Closes.EarliestHours), forecast.NextLayer.ClosesEarliestTime.ToDateTimeOffset());
        Assert.Equal(AfterStart(engine.NextLayer.BestAtHours), forecast.NextLayer.BestTime.ToDateTimeOffset());
        Assert.Equal(engine.Peak.HighCelsius, forecast.Peak.HighCelsius, 9);
        Assert.Equal("deep-casting-1 fitted to data sheet 1 of deep (5 figures)", forecast.ModelRevision);
    }

    [Fact]
    public async Task Forecast_SecondLayer_CountsFromTheFirstAndMovesOn()
    {
        await _desk.PourAndSettleAsync(depthMm: 20);
        await _desk.Harness.AdvanceAsync(TimeSpan.FromHours(24));
        await _desk.PourAndSettleAsync(depthMm: 20);

        var revisions = await _desk.RevisionsAsync();
        Assert.Equal([Cause.Pour, Cause.Pour], revisions.Select(forecast => forecast.Cause));
        Assert.Equal(revisions[0].PourTime, revisions[1].PourTime);
        Assert.True(CastingDesk.Safe(revisions[1], Gate.Demold) > CastingDesk.Safe(revisions[0], Gate.Demold));
    }

    [Fact]
    public async Task Readiness_FreshLayerOverAReadyOne_IsCuringEvenWhileTheWorkerIsAway()
    {
        await _desk.PourAndSettleAsync();
        await _desk.Harness.AdvanceAsync(TimeSpan.FromDays(13));
        await _desk.Pieces.RecordCheckAsync(new() { Parent = CastingDesk.Piece, Check = new() { Touch = Check.Types.Touch.Firm, Checker = "Ivo" } });
        Assert.Equal(PieceReadiness.Types.Rung.Types.State.Ready, (await ReadinessAsync()).Rungs[1].State);

        await _desk.Harness.RestartAsync(null, "--Node:Roles=api");
        _desk.Harness.Clock.Advance(TimeSpan.FromHours(1));
        await _desk.PourAsync();
        var unknown = await ReadinessAsync();
        Assert.Empty(unknown.Forecast);
        Assert.All(unknown.Rungs, rung => Assert.Equal(PieceReadiness.Types.Rung.Types.State.Curing, rung.State));

        await _desk.Harness.RestartAsync();
        await _desk.Harness.SettleAsync();
        var known = await ReadinessAsync();
        Assert.NotEmpty(known.Forecast);
        Assert.Equal(PieceReadiness.Types.Rung.Types.State.Curing, known.Rungs[1].State);
    }

    private Task<PieceReadiness> ReadinessAsync() => _desk.Forecasts.GetReadinessAsync(new() { Name = CastingDesk.Piece }).ResponseAsync;

    [Fact]
    public async Task Forecast_TemperatureOfTheResinNotMeasured_IsTheRooms()
    {
        // The planned room is 20 °C: the forecast is that of a pour at 20 °C.
        await _desk.PourAndSettleAsync(depthMm: 30, resinCelsius: null);

        var engine = _desk.Engine(30, 20, new AmbientPoint(0, 20, PlannedDoubt));
        Assert.Equal(AfterStart(engine[LadderGate.Demold].Times.SafeHours), CastingDesk.Safe(await _desk.LatestAsync(), Gate.Demold));
    }

    [Fact]
    public async Task Forecast_AfterAMove_TakesTheOtherRoomFromThereOn()
    {
        await _desk.PourAndSettleAsync();
        await _desk.Harness.AdvanceAsync(TimeSpan.FromHours(6));
        await _desk.StepAsync(Step.Types.Kind.Move, CastingDesk.ColdBench);
        await _desk.Harness.SettleAsync();

        var engine = _desk.Engine(30, 21, new AmbientPoint(0, 20, PlannedDoubt), new AmbientPoint(6 - 1 / 60.0, 20, PlannedDoubt), new AmbientPoint(6, 12, PlannedDoubt));
        var moved = await _desk.LatestAsync();
        Assert.Equal(Cause.Move, moved.Cause);
        Assert.Equal(AfterStart(engine[LadderGate.Demold].Times.SafeHours), CastingDesk.Safe(moved, Gate.Demold));
        Assert.Contains("planned 12.0 °C", moved.RoomAssumption);
    }

    [Fact]
    public async Task Forecast_OffRatio_SaysThatItAssumesTheRightOne()
    {
        // 50 : 100 where 42 is right: (50 − 42)/42 = 19.0 % too much, over the tolerance of 2 %.
        await _desk.PourAsync(hardenerMg: 50_000);
        await _desk.Harness.SettleAsync();

        var caution = Assert.Single((await _desk.LatestAsync()).Cautions, c => c.Reason == "OFF_RATIO");
        Assert.Equal("19.0", caution.Facts["ratio_deviation_percent"]);
        Assert.Contains("assumes the right one", caution.Text);
    }

    [Fact]
    public async Task Forecast_DeeperThanTheModelTakes_SaysSoInsteadOfAGate()
    {
        await _desk.PourAndSettleAsync(depthMm: 180);

        var forecast = await _desk.LatestAsync();
        Assert.Empty(forecast.Gates);
        Assert.Null(forecast.Peak);
        var caution = Assert.Single(forecast.Cautions, c => c.Reason == "CURE_MODEL_RANGE");
        Assert.Equal(("180", "150"), (caution.Facts["value"], caution.Facts["highest"]));
    }

    /// <summary>It is likelier to run away than any other, and warming it is the last thing to do.</summary>
    [Fact]
    public async Task Pour_DeeperThanTheModelTakes_IsToldAsOneThatMayRunAway()
    {
        await _desk.PourAndSettleAsync(depthMm: 180);

        var told = (await new ReminderService.ReminderServiceClient(_desk.Harness.Channel).ListRemindersAsync(new() { Parent = SampleStudio.Name })).Reminders;
        Assert.Equal([Reminder.Types.Kind.AtRisk, Reminder.Types.Kind.Exotherm], told.Select(reminder => reminder.Kind));
        Assert.Contains("Depth of a layer is 180 mm, and the model knows 0.5 to 150 mm.", told[0].Text, StringComparison.Ordinal);
        Assert.Contains("Look at it now. Keep people and all that burns away", told[1].Text, StringComparison.Ordinal);
        Assert.All(told, reminder => Assert.DoesNotContain("warm", reminder.Text, StringComparison.OrdinalIgnoreCase));
    }

    [Fact]
    public async Task Forecast_DeepPourThatRunsAway_WarnsWithARange()
    {
        await _desk.PourAndSettleAsync(depthMm: 100, resinCelsius: 25);

        var forecast = await _desk.LatestAsync();
        Assert.Equal(PeakPrediction.Types.Risk.Runaway, forecast.Peak.Risk);
        var caution = Assert.Single(forecast.Cautions, c => c.Reason == "RUNAWAY_RISK");
        Assert.Equal(forecast.Peak.LowCelsius.ToString("0"), caution.Facts["peak_low_celsius"]);
        Assert.Equal(forecast.Peak.HighCelsius.ToString("0"), caution.Facts["peak_high_celsius"]);
    }

    [Fact]
    public async Task GetForecast_OfARevision_HasTheCourseThatListsLeaveOut()
    {
        await _desk.PourAndSettleAsync();

        var forecast = await _desk.Forecasts.GetForecastAsync(new() { Name = $"{CastingDesk.Piece}/forecasts/1" });
        var listed = Assert.Single(await _desk.RevisionsAsync());

        Assert.Equal(TimeSpan.Zero, forecast.Course[0].Offset.ToTimeSpan());
        Assert.Contains(forecast.Course, sample => sample.Offset.ToTimeSpan() == TimeSpan.FromHours(1));
        // It ends a day after the last gate, hour by hour.
        var end = forecast.PourTime.ToDateTimeOffset() + forecast.Course[^1].Offset.ToTimeSpan();
        Assert.InRange(CastingDesk.Safe(forecast, Gate.Sand).AddHours(24) - end, TimeSpan.Zero, TimeSpan.FromHours(4));
        Assert.Empty(listed.Course);
        forecast.Course.Clear();
        Assert.Equal(forecast, listed);
    }

    [Fact]
    public async Task ListForecasts_InPages_GivesEachRevisionOnce()
    {
        await _desk.PourAndSettleAsync(depthMm: 10);
        for (var hour = 1; hour <= 2; hour++)
        {
            await _desk.Harness.AdvanceAsync(TimeSpan.FromHours(1));
            await _desk.PourAndSettleAsync(depthMm: 10);
        }

        List<string> names = [];
        var request = new ListForecastsRequest { Parent = CastingDesk.Piece, PageSize = 2 };
        do
        {
            var page = await _desk.Forecasts.ListForecastsAsync(request);
            names.AddRange(page.Forecasts.Select(forecast => forecast.Name));
            request.PageToken = page.NextPageToken;
        }
        while (request.PageToken.Length > 0);
        Assert.Equal(Enumerable.Range(1, 3).Select(revision => $"{CastingDesk.Piece}/forecasts/{revision}"), names);
    }

    [Theory]
    [InlineData("studios/alder/pieces/seven")]
    [InlineData("studios/alder/pieces/seven/forecasts/0")]
    [InlineData("studios/alder/pieces/seven/forecasts/-1")]
    [InlineData("studios/alder/pieces/seven/forecasts/newest")]
    [InlineData("studios/alder/pieces/seven/checks/latest")]
    public async Task GetForecast_MalformedName_IsRefused(string name) => Assert.Equal(
        "FIELD_INVALID", await CastingDesk.ReasonAsync(async () => await _desk.Forecasts.GetForecastAsync(new() { Name = name })));

    [Fact]
    public async Task GetForecast_ARevisionToCome_IsNotFound()
    {
        await _desk.PourAndSettleAsync();

        var refusal = await Assert.ThrowsAsync<RpcException>(
            async () => await _desk.Forecasts.GetForecastAsync(new() { Name = $"{CastingDesk.Piece}/forecasts/2" }));

        Assert.Equal((StatusCode.NotFound, "FORECAST_NOT_FOUND"), (refusal.StatusCode, refusal.Reason()));
    }

    private async Task<string> OtherPieceAsync()
    {
        await _desk.CreatePieceAsync("eight");
        return $"{SampleStudio.Name}/pieces/eight";
    }

    private static DateTimeOffset AfterStart(double? hours) => StudioHarness.Start + TimeSpan.FromMilliseconds(Math.Round(hours!.Value * 3_600_000));
}
