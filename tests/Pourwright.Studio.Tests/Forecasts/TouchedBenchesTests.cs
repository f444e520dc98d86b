using Pourwright.Studio.Climate;
using Pourwright.Studio.Forecasts;
using Pourwright.Studio.Storage;
using Pourwright.Testing;
using Pourwright.V1;
using Cause = Pourwright.V1.Forecast.Types.Cause;

namespace Pourwright.Studio.Tests.Forecasts;

/// <summary>The pour is at 0 h; new readings come due after ten minutes.</summary>
public sealed class TouchedBenchesTests : IAsyncLifetime
{
    private static readonly TimeSpan Delay = new ClimateOptions().ForecastDelay;

    private CastingDesk _desk = null!;

    public async Task InitializeAsync() => _desk = await CastingDesk.StartAsync();

    public async Task DisposeAsync() => await _desk.DisposeAsync();

    [Fact]
    public async Task CoolingReadings_MakeANewRevisionWithALaterSafeTime()
    {
        await _desk.PourAndSettleAsync();
        await AdvanceAsync(hours: 3);
        await _desk.ReadAsync((0, 20), (1, 18), (2, 16), (3, 15));
        await _desk.Harness.AdvanceAsync(Delay);

        var revisions = await _desk.RevisionsAsync();
        Assert.Equal([Cause.Pour, Cause.Readings], revisions.Select(forecast => forecast.Cause));
        Assert.True(CastingDesk.Safe(revisions[1], Gate.Demold) > CastingDesk.Safe(revisions[0], Gate.Demold).AddHours(5));
        Assert.Equal(StudioHarness.Start.AddHours(3), revisions[1].LastReadingTime.ToDateTimeOffset());
        Assert.Contains("15.0 °C", revisions[1].RoomAssumption);
    }

    [Fact]
    public async Task TwoReadings_WaitForTheFirstOnesDelayAndMakeOneForecast()
    {
        await _desk.PourAndSettleAsync();
        await AdvanceAsync(hours: 1);
        await _desk.ReadAsync((1, 17));
        await _desk.Harness.AdvanceAsync(Delay / 2);
        await _desk.ReadAsync((1.05, 16));

        await _desk.Harness.AdvanceAsync(Delay / 2 - TimeSpan.FromMilliseconds(1));
        Assert.Single(await _desk.RevisionsAsync());

        await _desk.Harness.AdvanceAsync(TimeSpan.FromMilliseconds(1));
        var revisions = await _desk.RevisionsAsync();
        Assert.Equal(2, revisions.Count);
        Assert.Equal(StudioHarness.Start.AddHours(1.05), revisions[1].LastReadingTime.ToDateTimeOffset());

        await AdvanceAsync(hours: 1);
        Assert.Equal(2, (await _desk.RevisionsAsync()).Count);
    }

    [Fact]
    public async Task ReadingThatTellsNothingNew_WritesNoNewRevision()
    {
        await _desk.PourAndSettleAsync();
        await AdvanceAsync(hours: 2);
        await _desk.ReadAsync((0, 20), (2, 20));
        await _desk.Harness.AdvanceAsync(Delay);
        Assert.Equal(2, (await _desk.RevisionsAsync()).Count);

        // Half-way, on the line between two that are no gap apart.
        await _desk.ReadAsync((1, 20));
        await _desk.Harness.AdvanceAsync(Delay);

        Assert.Equal(2, (await _desk.RevisionsAsync()).Count);
        Assert.Empty(_desk.Touched());
    }

    [Fact]
    public async Task ReadingsAsExpected_MakeTheForecastSurerAndDoNotMoveIt()
    {
        await _desk.PourAndSettleAsync();
        await AdvanceAsync(hours: 24);
        await _desk.ReadAsync([.. Enumerable.Range(0, 25).Select(hour => ((double)hour, 20.0))]);
        await _desk.Harness.AdvanceAsync(Delay);

        var revisions = await _desk.RevisionsAsync();
        var (planned, read) = (Demold(revisions[0]), Demold(revisions[^1]));
        // Most of the range is the resin's own; an hour of it was the room's.
        Assert.True(read.Safe - read.Earliest < planned.Safe - planned.Earliest - TimeSpan.FromHours(1));
        Assert.InRange(read.Likely - planned.Likely, TimeSpan.FromHours(-1.5), TimeSpan.FromHours(1.5));
    }

    private static (DateTimeOffset Earliest, DateTimeOffset Likely, DateTimeOffset Safe) Demold(Forecast forecast)
    {
        var gate = forecast.Gates.Single(gate => gate.Gate == Gate.Demold);
        return (gate.EarliestTime.ToDateTimeOffset(), gate.LikelyTime.ToDateTimeOffset(), gate.SafeTime.ToDateTimeOffset());
    }

    [Fact]
    public async Task GapInTheReadings_IsToldAndNotFilled()
    {
        await _desk.PourAndSettleAsync();
        await AdvanceAsync(hours: 6);
        await _desk.ReadAsync((0, 20), (6, 14));
        await _desk.Harness.AdvanceAsync(Delay);

        var forecast = await _desk.LatestAsync();
        Assert.Equal(TimeSpan.FromHours(6), forecast.GapDuration.ToTimeSpan());
        Assert.Equal("360", Assert.Single(forecast.Cautions, c => c.Reason == "ROOM_UNKNOWN_FOR").Facts["gap_minutes"]);
        var readings = await new V1.ClimateService.ClimateServiceClient(_desk.Harness.Channel).ListReadingsAsync(new() { Parent = SampleStudio.NorthSensor });
        Assert.Equal([20, 14], readings.Readings.Select(reading => reading.TemperatureCelsius));
    }

    [Fact]
    public async Task Readings_TouchOnlyBenchesWithCuringPieces()
    {
        await _desk.ReadAsync((0, 20));
        Assert.Empty(_desk.Touched());

        await _desk.PourAndSettleAsync();
        await _desk.ReadAsync((0.01, 20));
        Assert.Equal([(SampleStudio.NorthBench, StudioHarness.Start + Delay)], _desk.Touched());
    }

    [Fact]
    public async Task LateReadings_OfABenchThePieceHasLeft_TouchTheOneWhereItIs()
    {
        await _desk.PourAndSettleAsync();
        await _desk.StepAsync(Step.Types.Kind.Move, CastingDesk.ColdBench);
        await _desk.Harness.SettleAsync();

        await _desk.ReadAsync((-1, 25));

        Assert.Equal(CastingDesk.ColdBench, Assert.Single(_desk.Touched()).Bench);
    }

    [Fact]
    public async Task RoomSensor_TouchesBenchesWithoutASensorOfTheirOwn()
    {
        await new V1.SiteService.SiteServiceClient(_desk.Harness.Channel).CreateSensorAsync(
            new() { Parent = SampleStudio.North, SensorId = "room", Sensor = new() { DisplayName = "Room" } });
        await _desk.PourAndSettleAsync();
        await RoomReadAsync(0);
        Assert.Empty(_desk.Touched());

        await _desk.StepAsync(Step.Types.Kind.Move, CastingDesk.ColdBench);
        await RoomReadAsync(0.01);
        Assert.Equal(CastingDesk.ColdBench, Assert.Single(_desk.Touched()).Bench);
    }

    [Fact]
    public async Task SweepThatDiesBetweenClaimAndSave_LosesNothing()
    {
        await _desk.PourAndSettleAsync();
        await AdvanceAsync(hours: 1);
        await _desk.ReadAsync((1, 12));
        _desk.Harness.Clock.Advance(Delay);
        var claim = Assert.Single(await ClaimAsync());

        // The process dies here and comes back: the claim still runs.
        await _desk.Harness.RestartAsync();
        await _desk.Harness.SettleAsync();
        Assert.Single(await _desk.RevisionsAsync());

        await _desk.Harness.AdvanceAsync(Instants.FromUnixMs(claim.DueMs) - _desk.Harness.Clock.GetUtcNow());
        Assert.Equal(2, (await _desk.RevisionsAsync()).Count);
        Assert.Empty(_desk.Touched());
    }

    [Fact]
    public async Task ReadingDuringTheWork_KeepsTheBenchTouched()
    {
        await _desk.PourAndSettleAsync();
        await _desk.ReadAsync((0, 19));
        _desk.Harness.Clock.Advance(Delay);
        var claim = Assert.Single(await ClaimAsync());

        await _desk.ReadAsync((0.1, 12));
        await DropAsync(claim);

        Assert.Equal([(SampleStudio.NorthBench, StudioHarness.Start + 2 * Delay)], _desk.Touched());
    }

    [Fact]
    public async Task LessonDuringTheWork_KeepsTheBenchTouched()
    {
        await _desk.PourAndSettleAsync();
        await _desk.ReadAsync((0, 19));
        _desk.Harness.Clock.Advance(Delay);
        var claim = Assert.Single(await ClaimAsync());

        await _desk.Harness.Writer.WriteAsync(tx => TouchedBenchStore.TouchResin(tx, SampleStudio.Deep, (tx.Now + Delay).ToUnixMs()));
        await DropAsync(claim);

        Assert.Equal([(SampleStudio.NorthBench, StudioHarness.Start + 2 * Delay)], _desk.Touched());
    }

    [Fact]
    public async Task Lesson_LeavesABenchThatIsDueSooner()
    {
        await _desk.PourAndSettleAsync();
        await _desk.ReadAsync((0, 19));
        _desk.Harness.Clock.Advance(Delay / 2);

        await _desk.Harness.Writer.WriteAsync(tx => TouchedBenchStore.TouchResin(tx, SampleStudio.Deep, (tx.Now + Delay).ToUnixMs()));

        Assert.Equal([(SampleStudio.NorthBench, StudioHarness.Start + Delay)], _desk.Touched());
    }

    [Theory]
    [InlineData(-1, true)]
    [InlineData(0, false)] // From here on a reading would not have brought the due time forward.
    public async Task Drop_OnlyWhileTheLeaseRuns(int millisecondsAfterTheLease, bool dropped)
    {
        await _desk.PourAndSettleAsync();
        await _desk.ReadAsync((0, 19));
        _desk.Harness.Clock.Advance(Delay);
        var claim = Assert.Single(await ClaimAsync());

        _desk.Harness.Clock.Advance(TouchedBenches.Lease + TimeSpan.FromMilliseconds(millisecondsAfterTheLease));
        await DropAsync(claim);

        Assert.Equal(dropped, _desk.Touched().Count == 0);
    }

    [Theory]
    [InlineData(Step.Types.Kind.Demold, true)] // Out of its mould it goes on curing, towards saw and planer.
    [InlineData(Step.Types.Kind.HandOver, false)]
    [InlineData(Step.Types.Kind.Scrap, false)]
    public async Task PieceAfterAStep_IsForecastUntilItIsGone(Step.Types.Kind step, bool forecast)
    {
        await _desk.PourAndSettleAsync();
        await AdvanceAsync(hours: 0.05);
        await _desk.StepAsync(step);
        await _desk.Harness.SettleAsync();
        await _desk.ReadAsync((0, 12));
        await _desk.Harness.AdvanceAsync(Delay);

        Assert.Equal(forecast, (await _desk.RevisionsAsync()).Any(revision => revision.Cause == Cause.Readings));
        Assert.Empty(_desk.Touched());
    }

    [Theory]
    [InlineData(23, true)]
    [InlineData(25, false)]
    public async Task PieceNobodyDemolds_IsForecastForADayAfterItsLastGate(int hoursAfter, bool forecast)
    {
        await _desk.PourAndSettleAsync();
        _desk.Harness.Clock.SetUtcNow(CastingDesk.Safe(await _desk.LatestAsync(), Gate.Sand).AddHours(hoursAfter));
        await _desk.ReadAsync((0, 12), (1, 12));
        await _desk.Harness.AdvanceAsync(Delay);

        Assert.Equal(forecast ? 2 : 1, (await _desk.RevisionsAsync()).Count);
    }

    [Fact]
    public async Task ManyPiecesOnABench_AreAllForecast()
    {
        var names = Enumerable.Range(1, 12).Select(number => $"row-{number}").ToList();
        foreach (var name in names)
        {
            await _desk.CreatePieceAsync(name);
            await _desk.PourAsync(piece: $"{SampleStudio.Name}/pieces/{name}");
        }
        await _desk.Harness.SettleAsync();
        await AdvanceAsync(hours: 1);
        await _desk.ReadAsync((0, 16), (1, 14));
        await _desk.Harness.AdvanceAsync(Delay);

        foreach (var name in names)
            Assert.Equal([Cause.Pour, Cause.Readings], (await _desk.RevisionsAsync($"{SampleStudio.Name}/pieces/{name}")).Select(f => f.Cause));
    }

    [Fact]
    public async Task DraftOlderThanAPour_IsNotSaved()
    {
        await _desk.PourAndSettleAsync(depthMm: 10);
        await AdvanceAsync(hours: 1);
        await _desk.ReadAsync((1, 12));
        var draft = _desk.PieceForecasts.Draft(CastingDesk.Piece, Cause.Readings);
        Assert.NotNull(draft.Forecast);

        await _desk.PourAndSettleAsync(depthMm: 10);

        Assert.False(await _desk.Harness.Writer.WriteAsync(tx => PieceForecasts.TrySave(tx, draft)));
        Assert.Equal([Cause.Pour, Cause.Pour], (await _desk.RevisionsAsync()).Select(forecast => forecast.Cause));
    }

    private Task<IReadOnlyList<BenchClaim>> ClaimAsync() =>
        _desk.Harness.Writer.WriteAsync(tx => TouchedBenchStore.Claim(tx, tx.Now + Delay + TouchedBenches.Lease, 16));

    private Task DropAsync(BenchClaim claim) => _desk.Harness.Writer.WriteAsync(tx => TouchedBenchStore.Drop(tx, claim, Delay));

    private Task AdvanceAsync(double hours) => _desk.Harness.AdvanceAsync(TimeSpan.FromHours(hours));

    private async Task RoomReadAsync(double hours) => await new V1.ClimateService.ClimateServiceClient(_desk.Harness.Channel).RecordReadingsAsync(new()
    {
        Parent = SampleStudio.North,
        Readings =
        {
            new Reading
            {
                Sensor = $"{SampleStudio.North}/sensors/room",
                ReadingTime = Google.Protobuf.WellKnownTypes.Timestamp.FromDateTimeOffset(StudioHarness.Start.AddHours(hours)),
                TemperatureCelsius = 12,
            },
        },
    });
}
