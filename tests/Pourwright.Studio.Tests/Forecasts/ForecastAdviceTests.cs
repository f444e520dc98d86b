using System.Globalization;
using Google.Protobuf.WellKnownTypes;
using Pourwright.Cure.Ladder;
using Pourwright.Cure.Readiness;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Forecasts;

/// <summary>Why a forecast is as it is, and what one could do: both are said, and the advice is true by the engine asked anew.</summary>
public sealed class ForecastAdviceTests : IAsyncLifetime
{
    private CastingDesk _desk = null!;

    public async Task InitializeAsync() => _desk = await CastingDesk.StartAsync();

    public async Task DisposeAsync() => await _desk.DisposeAsync();

    [Fact]
    public async Task Reason_OfTheFirst_IsThePour()
    {
        await _desk.PourAndSettleAsync(depthMm: 30);

        Assert.Equal("First forecast, after the pour of 30 mm.", (await _desk.LatestAsync()).Reason);
    }

    // The first forecast took 20 °C, the plan of the bench; hours 1 to 4 were read as 17 °C, and no reading says otherwise of the first.
    [Fact]
    public async Task Reason_OfAColderBench_SaysHowMuchColderAndHowMuchLater()
    {
        await _desk.PourAndSettleAsync();
        await _desk.Harness.AdvanceAsync(TimeSpan.FromHours(4));
        await _desk.ReadAsync((1, 17), (2, 17), (3, 17), (4, 17));
        await _desk.Harness.AdvanceAsync(TimeSpan.FromMinutes(15));

        Assert.Matches(
            @"^Since the forecast before, the bench was 3\.0 K colder than taken\. Safe for saw and planer \d+ h( \d+ min)? later\.$",
            (await _desk.LatestAsync()).Reason);
    }

    // Later by the difference of the two times, to the minute, and both times stand beside it.
    [Fact]
    public async Task Reason_StandsSentenceBySentenceWithItsValues()
    {
        await _desk.PourAndSettleAsync();
        var before = await _desk.LatestAsync();
        var first = Assert.Single(before.ReasonStatements);
        Assert.Equal(("FIRST_FORECAST", before.Reason), (first.Kind, first.Text));
        await _desk.Harness.AdvanceAsync(TimeSpan.FromHours(4));
        await _desk.ReadAsync((1, 17), (2, 17), (3, 17), (4, 17));
        await _desk.Harness.AdvanceAsync(TimeSpan.FromMinutes(15));

        var (after, readiness) = (await _desk.LatestAsync(), await _desk.Forecasts.GetReadinessAsync(new() { Name = CastingDesk.Piece }));
        Assert.Equal(["ROOM_COLDER", "SAFE_TIME_LATER"], after.ReasonStatements.Select(statement => statement.Kind));
        Assert.Equal(after.Reason, string.Join(' ', after.ReasonStatements.Select(statement => statement.Text)));
        Assert.Equal(after.ReasonStatements, readiness.ReasonStatements);
        Assert.Equal("3.0", after.ReasonStatements[0].Facts["difference_kelvin"]);
        var (was, becomes) = (CastingDesk.Safe(before, Gate.Handle), CastingDesk.Safe(after, Gate.Handle));
        var moved = after.ReasonStatements[1].Facts;
        Assert.Equal(($"{was:u}", $"{becomes:u}", $"{Math.Round((becomes - was).TotalMinutes, MidpointRounding.AwayFromZero):0}"),
            (moved["safe_before_time"], moved["safe_time"], moved["shift_minutes"]));
    }

    [Fact]
    public async Task Reason_OfAMove_SaysWhereTo()
    {
        await _desk.PourAndSettleAsync();
        await _desk.StepAsync(Step.Types.Kind.Move, CastingDesk.ColdBench);
        await _desk.Harness.SettleAsync();

        Assert.StartsWith("It was carried to cellar.", (await _desk.LatestAsync()).Reason, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Advice_PieceInTime_IsToTestByTouchFromItsSafeTimeOn()
    {
        await _desk.PourAndSettleAsync();

        var forecast = await _desk.LatestAsync();
        var advice = Assert.Single(forecast.Advice);
        Assert.Equal("TEST_BY_TOUCH", advice.Kind);
        Assert.Equal($"{CastingDesk.Safe(forecast, Gate.Demold):u}", advice.Facts["test_time"]);
    }

    // The engine is asked anew with the room that the advice wants, an hour's ramp up and another down: the piece is then safe by its
    // session, and without it it is not.
    [Fact]
    public async Task Advice_PieceLateForItsSession_IsTheWarmthThatMakesIt()
    {
        var session = StudioHarness.Start.AddHours(72);
        await LateAsync("late", session);

        var forecast = await _desk.LatestAsync(Late);
        Assert.True(CastingDesk.Safe(forecast, Gate.Handle) > session);
        var advice = Assert.Single(forecast.Advice);
        Assert.Equal("WARM_THE_ROOM", advice.Kind);
        Assert.Contains(advice.Facts["temperature_celsius"] + " °C", advice.Text, StringComparison.Ordinal);
        var (from, until) = (Hours(advice.Facts["from_time"]), Hours(advice.Facts["until_time"]));
        var warm = double.Parse(advice.Facts["temperature_celsius"], CultureInfo.InvariantCulture);
        Assert.True(HandleSafe(new(0, 20), new(from + 0.01, 20), new(from + 1, warm), new(until, warm), new(until + 1, 20)) <= 72);
        Assert.True(HandleSafe(new AmbientPoint(0, 20)) > 72);
    }

    [Fact]
    public async Task AtRiskReminder_SaysWhatWouldHelp()
    {
        await LateAsync("late", StudioHarness.Start.AddHours(72));

        var advice = (await _desk.LatestAsync(Late)).Advice[0].Text;
        var reminders = await new ReminderService.ReminderServiceClient(_desk.Harness.Channel).ListRemindersAsync(new() { Parent = SampleStudio.Name });
        Assert.Contains(reminders.Reminders, reminder =>
            reminder.Kind == Reminder.Types.Kind.AtRisk && reminder.Text.EndsWith(advice, StringComparison.Ordinal));
    }

    [Fact]
    public async Task Readiness_TellsReasonWindowPeakAndAdvice()
    {
        await _desk.PourAndSettleAsync();

        var (forecast, readiness) = (await _desk.LatestAsync(), await _desk.Forecasts.GetReadinessAsync(new() { Name = CastingDesk.Piece }));
        Assert.Equal((forecast.Reason, forecast.Advice, forecast.NextLayer, forecast.Peak),
            (readiness.Reason, readiness.Advice, readiness.NextLayer, readiness.Peak));
        Assert.Equal([Gate.Gel, Gate.Demold, Gate.Handle, Gate.Sand], readiness.Rungs.Select(rung => rung.Gate));
    }

    // Between walls of wood the corner decides: the engine's own rule for a channel of that width.
    [Fact]
    public async Task Channel_OfWood_IsForecastAtItsEdge()
    {
        await _desk.Pieces.CreatePieceAsync(new()
        {
            Parent = SampleStudio.Name, PieceId = "river", Piece = new() { Site = SampleStudio.North, Label = "R", ChannelWidthMm = 90 },
        });
        await _desk.PourAndSettleAsync(piece: $"{SampleStudio.Name}/pieces/river");
        await _desk.PourAndSettleAsync();

        var (river, open) = (await _desk.LatestAsync($"{SampleStudio.Name}/pieces/river"), await _desk.LatestAsync());
        Assert.True(CastingDesk.Safe(river, Gate.Gel) > CastingDesk.Safe(open, Gate.Gel).AddHours(2));
        Assert.Equal(open.Peak.LikelyCelsius, river.Peak.LikelyCelsius, 1e-9);
        Assert.Equal(90, (await _desk.Pieces.GetPieceAsync(new() { Name = $"{SampleStudio.Name}/pieces/river" })).ChannelWidthMm);
    }

    private const string Late = $"{SampleStudio.Name}/pieces/late";

    private async Task LateAsync(string id, DateTimeOffset session)
    {
        await _desk.Pieces.CreatePieceAsync(new()
        {
            Parent = SampleStudio.Name,
            PieceId = id,
            Piece = new() { Site = SampleStudio.North, Label = id, PlannedSessionTime = Timestamp.FromDateTimeOffset(session) },
        });
        await _desk.PourAndSettleAsync(piece: Late);
    }

    private double HandleSafe(params AmbientPoint[] air) => _desk.Engine(30, 21, air)[LadderGate.Handle].Times.SafeHours!.Value;

    private static double Hours(string utc) =>
        (DateTimeOffset.ParseExact(utc, "u", CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal) - StudioHarness.Start).TotalHours;
}
