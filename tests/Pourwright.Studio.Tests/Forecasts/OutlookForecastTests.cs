using Google.Protobuf.WellKnownTypes;
using Pourwright.Testing;
using Pourwright.V1;
using Kind = Pourwright.V1.BenchOutlook.Types.Kind;
using Point = Pourwright.V1.BenchOutlook.Types.Point;

namespace Pourwright.Studio.Tests.Forecasts;

/// <summary>The pour is at 0 h in a room that is read at 15 °C; heating to 22 °C is planned for ten hours later.</summary>
public sealed class OutlookForecastTests : IAsyncLifetime
{
    private CastingDesk _desk = null!;

    public async Task InitializeAsync()
    {
        _desk = await CastingDesk.StartAsync();
        await _desk.ReadAsync((-1, 15), (0, 15));
        await _desk.PourAndSettleAsync();
    }

    public async Task DisposeAsync() => await _desk.DisposeAsync();

    [Fact]
    public async Task HeatingSet_IsForecastAtOnce_BeforeTheRoomIsWarm()
    {
        await SetAsync(Kind.Heating, (-24, 15), (10, 22));
        Assert.Equal([(SampleStudio.NorthBench, StudioHarness.Start)], _desk.Touched());
        await _desk.Harness.SettleAsync();

        var revisions = await _desk.RevisionsAsync();
        Assert.Equal(2, revisions.Count);
        Assert.True(CastingDesk.Safe(revisions[1], Gate.Demold) < CastingDesk.Safe(revisions[0], Gate.Demold).AddHours(-10));
        Assert.StartsWith("The heating schedule, with an assumed room lag of 6 h.", revisions[1].RoomAssumption);
        Assert.Empty(_desk.Touched());
    }

    [Fact]
    public async Task HeatingSetAgain_SaysNothingNew()
    {
        await SetAsync(Kind.Heating, (-24, 15), (10, 22));
        await _desk.Harness.SettleAsync();

        await SetAsync(Kind.Heating, (-24, 15), (10, 22));
        Assert.Empty(_desk.Touched());
        await _desk.Harness.SettleAsync();

        Assert.Equal(2, (await _desk.RevisionsAsync()).Count);
    }

    [Fact]
    public async Task HeatingTakenBack_LeavesTheForecastAsItWasBefore()
    {
        await SetAsync(Kind.Heating, (-24, 15), (10, 22));
        await _desk.Harness.SettleAsync();
        await SetAsync(Kind.None);
        await _desk.Harness.SettleAsync();

        var revisions = await _desk.RevisionsAsync();
        Assert.Equal((3, revisions[0].RoomAssumption), (revisions.Count, revisions[2].RoomAssumption));
        Assert.Equal(CastingDesk.Safe(revisions[0], Gate.Demold), CastingDesk.Safe(revisions[2], Gate.Demold));
    }

    [Fact]
    public async Task HeatingOfABenchWithoutPieces_TouchesNothing()
    {
        await SetAsync(Kind.Heating, CastingDesk.ColdBench, (10, 22));

        Assert.Empty(_desk.Touched());
    }

    [Fact]
    public async Task HeatingOfTheBenchAPieceIsMovedTo_CountsFromTheMoveOn()
    {
        await SetAsync(Kind.Heating, CastingDesk.ColdBench, (0, 22));
        await _desk.StepAsync(Step.Types.Kind.Move, CastingDesk.ColdBench);
        await _desk.Harness.SettleAsync();

        var revisions = await _desk.RevisionsAsync();
        Assert.StartsWith("The heating schedule", revisions[^1].RoomAssumption);
        Assert.True(CastingDesk.Safe(revisions[^1], Gate.Demold) < CastingDesk.Safe(revisions[0], Gate.Demold));
    }

    private Task SetAsync(Kind kind, params (double AtHours, double Celsius)[] points) => SetAsync(kind, SampleStudio.NorthBench, points);

    private async Task SetAsync(Kind kind, string bench, params (double AtHours, double Celsius)[] points) =>
        await new V1.ClimateService.ClimateServiceClient(_desk.Harness.Channel).SetBenchOutlookAsync(new()
        {
            Name = bench,
            Kind = kind,
            Points =
            {
                points.Select(point => new Point
                {
                    PointTime = Timestamp.FromDateTimeOffset(StudioHarness.Start.AddHours(point.AtHours)), TemperatureCelsius = point.Celsius,
                }),
            },
        });
}
