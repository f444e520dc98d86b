using Grpc.Core;
using Microsoft.Extensions.Time.Testing;
using Pourwright.Studio.Forecasts;
using Pourwright.Studio.Resins;
using Pourwright.Studio.Storage;
using Pourwright.Testing;
using Pourwright.V1;
using Kind = Pourwright.V1.Reminder.Types.Kind;
using State = Pourwright.V1.PieceReadiness.Types.Rung.Types.State;

namespace Pourwright.Studio.Tests.Forecasts;

public sealed class ReadinessTests : IAsyncLifetime
{
    private CastingDesk _desk = null!;

    public async Task InitializeAsync() => _desk = await CastingDesk.StartAsync();

    public async Task DisposeAsync() => await _desk.DisposeAsync();

    [Fact]
    public async Task GetReadiness_ThroughACure_AnnouncesThenAsksThenBelievesTheHand()
    {
        await _desk.PourAndSettleAsync();
        Assert.Equal(State.Curing, await DemoldAsync());

        var safe = CastingDesk.Safe(await _desk.LatestAsync(), Gate.Demold);
        _desk.Harness.Clock.SetUtcNow(safe.AddMilliseconds(-1));
        Assert.Equal(State.Curing, await DemoldAsync());
        _desk.Harness.Clock.SetUtcNow(safe);
        Assert.Equal(State.CheckDue, await DemoldAsync());

        await _desk.TouchAsync(Check.Types.Touch.Soft);
        Assert.Equal(State.Contradicted, await DemoldAsync());
        _desk.Harness.Clock.Advance(TimeSpan.FromHours(6));
        await _desk.TouchAsync(Check.Types.Touch.Firm);
        Assert.Equal(State.Ready, await DemoldAsync());
    }

    // It was found firm an hour after its safe time; that the room turns cold afterwards, or that the check itself moves the forecast,
    // does not make it soft. Fresh resin over it does.
    [Fact]
    public async Task Ready_IsTakenBackByFreshResinAndNotByALaterForecast()
    {
        await _desk.PourAndSettleAsync(depthMm: 15);
        _desk.Harness.Clock.SetUtcNow(CastingDesk.Safe(await _desk.LatestAsync(), Gate.Demold).AddHours(1));
        await _desk.TouchAsync(Check.Types.Touch.Firm);
        await _desk.Harness.SettleAsync();
        Assert.Equal(State.Ready, await DemoldAsync());

        var hours = (_desk.Harness.Clock.GetUtcNow() - StudioHarness.Start).TotalHours;
        await _desk.ReadAsync([.. Enumerable.Range(0, (int)hours).Select(hour => ((double)hour, 8.0))]);
        await _desk.Harness.AdvanceAsync(TimeSpan.FromMinutes(15));
        Assert.True(CastingDesk.Safe(await _desk.LatestAsync(), Gate.Demold) > _desk.Harness.Clock.GetUtcNow());
        Assert.Equal(State.Ready, await DemoldAsync());

        await _desk.PourAndSettleAsync(depthMm: 15);
        Assert.Equal(State.Curing, await DemoldAsync());
    }

    // The writer's clock never goes back; the one a forecast is made by does when somebody sets it right.
    [Fact]
    public async Task Forecast_MadeByAClockThatWasSetBack_IsNoOlderThanThePour()
    {
        await _desk.PourAndSettleAsync();
        var behind = new FakeTimeProvider(StudioHarness.Start.AddHours(-1));
        var forecasts = new PieceForecasts(_desk.Harness.Reads, _desk.Harness.Writer, new ResinModels(), behind);

        var draft = forecasts.Draft(CastingDesk.Piece, Forecast.Types.Cause.Pour);

        Assert.Equal(StudioHarness.Start, Instants.FromUnixMs(draft.Forecast!.ForecastMs));
    }

    [Fact]
    public async Task Forecast_OfBeforeThePour_IsMadeAnewAlsoWhereTheTimesStay()
    {
        await _desk.PourAndSettleAsync();
        var first = _desk.Harness.Reads.Read(session => ForecastStore.Latest(session, CastingDesk.Piece))!;
        Assert.Null(_desk.PieceForecasts.Draft(CastingDesk.Piece, Forecast.Types.Cause.Readings).Forecast);
        await _desk.Harness.Writer.WriteAsync(tx =>
        {
            ForecastStore.Insert(tx, first with { Revision = 2, ForecastMs = first.ForecastMs - 1 });
            return true;
        });
        Assert.Equal("", await StandingAsync());

        await _desk.PieceForecasts.ForecastAsync(CastingDesk.Piece, Forecast.Types.Cause.Readings, CancellationToken.None);

        Assert.Equal($"{CastingDesk.Piece}/forecasts/3", await StandingAsync());
    }

    [Fact]
    public async Task GetReadiness_BeforeTheFirstForecast_IsCuringWithoutTimes()
    {
        var readiness = await _desk.Forecasts.GetReadinessAsync(new() { Name = CastingDesk.Piece });

        Assert.Equal(("", "seven"), (readiness.Forecast, readiness.Label));
        Assert.All(readiness.Rungs, rung => Assert.Equal((State.Curing, null), (rung.State, rung.Forecast)));
    }

    [Fact]
    public async Task TackyTouch_AfterTheReminder_WithdrawsIt()
    {
        await _desk.PourAndSettleAsync();
        await ToNoonAfterAsync(Gate.Demold);
        Assert.Contains(await RemindersAsync(Reminder.Types.State.Sent), reminder => reminder.Kind == Kind.DemoldReady);

        await _desk.TouchAsync(Check.Types.Touch.Tacky);
        await _desk.Harness.SettleAsync();

        Assert.DoesNotContain(await RemindersAsync(Reminder.Types.State.Sent), reminder => reminder.Kind == Kind.DemoldReady);
        Assert.Contains("Ivo found it tacky", Assert.Single(await RemindersAsync(Reminder.Types.State.Sent), r => r.Kind == Kind.Withdrawn).Text);
    }

    [Fact]
    public async Task FirmTouch_AfterTheReminder_LeavesIt()
    {
        await _desk.PourAndSettleAsync();
        await ToNoonAfterAsync(Gate.Demold);

        await _desk.TouchAsync(Check.Types.Touch.Firm);
        await _desk.Harness.SettleAsync();

        Assert.Contains(await RemindersAsync(Reminder.Types.State.Sent), reminder => reminder.Kind == Kind.DemoldReady);
    }

    [Fact]
    public async Task WatchReadiness_SendsEveryCuringPieceThenEachChangeOnce()
    {
        await _desk.CreatePieceAsync("eight");
        await _desk.PourAndSettleAsync();
        using var watch = _desk.Forecasts.WatchReadiness(new() { Parent = SampleStudio.Name });
        var first = await NextAsync(watch);
        Assert.Equal((CastingDesk.Piece, $"{CastingDesk.Piece}/forecasts/1", State.Curing), (first.Piece, first.Forecast, Demold(first)));

        // A commit that changes no piece is not told: the next message is about the second piece.
        await _desk.ReadAsync((-5, 20));
        await _desk.PourAsync(piece: $"{SampleStudio.Name}/pieces/eight");
        Assert.Equal($"{SampleStudio.Name}/pieces/eight", (await NextAsync(watch)).Piece);
    }

    [Fact]
    public async Task WatchReadiness_TimePasses_TellsThatACheckIsDue()
    {
        await _desk.PourAndSettleAsync();
        using var watch = _desk.Forecasts.WatchReadiness(new() { Parent = SampleStudio.Name, Site = SampleStudio.North });
        var seen = await NextAsync(watch);
        Assert.Equal(State.Curing, Demold(seen));

        // Nothing is written: the clock alone opens the gate.
        _desk.Harness.Clock.SetUtcNow(CastingDesk.Safe(await _desk.LatestAsync(), Gate.Demold));
        while (Demold(seen) == State.Curing) seen = await NextAsync(watch);
        Assert.Equal(State.CheckDue, Demold(seen));

        await _desk.TouchAsync(Check.Types.Touch.Firm);
        while (Demold(seen) == State.CheckDue) seen = await NextAsync(watch);
        Assert.Equal(State.Ready, Demold(seen));
    }

    [Fact]
    public async Task WatchReadiness_OfAnotherSite_SaysNothingOfThisOne()
    {
        await _desk.PourAndSettleAsync();
        using var watch = _desk.Forecasts.WatchReadiness(
            new() { Parent = SampleStudio.Name, Site = SampleStudio.South }, deadline: DateTime.UtcNow.AddSeconds(1));

        var ended = await Assert.ThrowsAsync<RpcException>(() => watch.ResponseStream.MoveNext(CancellationToken.None));

        Assert.Equal(StatusCode.DeadlineExceeded, ended.StatusCode);
    }

    [Fact]
    public async Task WatchReadiness_Cancelled_EndsWithoutAnErrorInTheLog()
    {
        await _desk.PourAndSettleAsync();
        using var cancel = new CancellationTokenSource();
        using var watch = _desk.Forecasts.WatchReadiness(new() { Parent = SampleStudio.Name }, cancellationToken: cancel.Token);
        await NextAsync(watch);

        await cancel.CancelAsync();

        Assert.Equal(StatusCode.Cancelled, (await Assert.ThrowsAsync<RpcException>(() => watch.ResponseStream.MoveNext(CancellationToken.None))).StatusCode);
    }

    private static async Task<PieceReadiness> NextAsync(AsyncServerStreamingCall<PieceReadiness> watch)
    {
        using var patience = new CancellationTokenSource(TimeSpan.FromSeconds(30));
        Assert.True(await watch.ResponseStream.MoveNext(patience.Token));
        return watch.ResponseStream.Current;
    }

    private async Task<string> StandingAsync() => (await _desk.Forecasts.GetReadinessAsync(new() { Name = CastingDesk.Piece })).Forecast;

    private async Task<State> DemoldAsync() => Demold(await _desk.Forecasts.GetReadinessAsync(new() { Name = CastingDesk.Piece }));

    private static State Demold(PieceReadiness readiness) => readiness.Rungs.Single(rung => rung.Gate == Gate.Demold).State;

    /// <summary>The next noon: reminders do not go out in quiet hours.</summary>
    private async Task ToNoonAfterAsync(Gate gate)
    {
        var safe = CastingDesk.Safe(await _desk.LatestAsync(), gate);
        _desk.Harness.Clock.SetUtcNow(new DateTimeOffset(safe.Date.AddDays(1).AddHours(12), TimeSpan.Zero));
        await _desk.Harness.SettleAsync();
    }

    private async Task<IReadOnlyList<Reminder>> RemindersAsync(Reminder.Types.State state) =>
        (await new ReminderService.ReminderServiceClient(_desk.Harness.Channel).ListRemindersAsync(
            new() { Parent = SampleStudio.Name, State = state })).Reminders;
}
