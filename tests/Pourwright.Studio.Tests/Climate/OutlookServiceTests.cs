using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Pourwright.Testing;
using Pourwright.V1;
using Kind = Pourwright.V1.BenchOutlook.Types.Kind;
using Point = Pourwright.V1.BenchOutlook.Types.Point;

namespace Pourwright.Studio.Tests.Climate;

public sealed class OutlookServiceTests : IAsyncLifetime
{
    private StudioHarness _harness = null!;
    private V1.ClimateService.ClimateServiceClient _climate = null!;

    public async Task InitializeAsync()
    {
        _harness = await StudioHarness.StartAsync();
        _climate = new(_harness.Channel);
        await SampleStudio.CreateAsync(_harness);
    }

    public async Task DisposeAsync() => await _harness.DisposeAsync();

    [Fact]
    public async Task GetBenchOutlook_OfABenchOfWhichNothingIsSaid_IsNone() => Assert.Equal(
        new BenchOutlook { Bench = SampleStudio.NorthBench, Kind = Kind.None }, await GetAsync());

    [Fact]
    public async Task SetBenchOutlook_TakesThePlaceOfTheOneBeforeAsAWhole()
    {
        await _climate.SetBenchOutlookAsync(Request(Kind.Outdoor, (-1, -3.5), (0, 4), (12, 9.25)));
        await _harness.AdvanceAsync(TimeSpan.FromHours(1));
        var set = await _climate.SetBenchOutlookAsync(Request(Kind.Heating, (6, 21)));

        Assert.Equal(set, await GetAsync());
        Assert.Equal((Kind.Heating, StudioHarness.Start.AddHours(1)), (set.Kind, set.SetTime.ToDateTimeOffset()));
        Assert.Equal((StudioHarness.Start.AddHours(6), 21), (Assert.Single(set.Points).PointTime.ToDateTimeOffset(), set.Points[0].TemperatureCelsius));
    }

    [Fact]
    public async Task SetBenchOutlook_Outdoor_KeepsItsPointsToTheMillisecondAndDigit()
    {
        var request = Request(Kind.Outdoor, (-1, -3.5), (1.0 / 3_600_000, 4.123456), (12, 9.25));
        Assert.Equal(request.Points, (await _climate.SetBenchOutlookAsync(request)).Points);
    }

    [Fact]
    public async Task SetBenchOutlook_TheSameAgain_StandsSinceTheFirstTime()
    {
        var first = await _climate.SetBenchOutlookAsync(Request(Kind.Heating, (6, 21)));
        await _harness.AdvanceAsync(TimeSpan.FromHours(1));
        Assert.Equal(first, await _climate.SetBenchOutlookAsync(Request(Kind.Heating, (6, 21))));
    }

    [Fact]
    public async Task SetBenchOutlook_ARepeatByItsId_GetsTheFirstAnswerAndUndoesNothing()
    {
        var (early, late) = (Request(Kind.Heating, (6, 21)), Request(Kind.Heating, (6, 18)));
        early.RequestId = "5c0f1f0e-6a3e-4d1b-9d0e-0c6f2b7a9e11";
        var first = await _climate.SetBenchOutlookAsync(early);
        var second = await _climate.SetBenchOutlookAsync(late);

        Assert.Equal(first, await _climate.SetBenchOutlookAsync(early));
        Assert.Equal(second, await GetAsync());

        late.RequestId = early.RequestId;
        Assert.Equal("REQUEST_ID_REUSED", (await RefusalAsync(late)).Reason());
    }

    [Fact]
    public async Task SetBenchOutlook_None_TakesItBack()
    {
        await _climate.SetBenchOutlookAsync(Request(Kind.Heating, (6, 21)));
        await _climate.SetBenchOutlookAsync(Request(Kind.None));

        var now = await GetAsync();
        Assert.Equal((Kind.None, 0), (now.Kind, now.Points.Count));
    }

    public static TheoryData<string, SetBenchOutlookRequest> Malformed => new()
    {
        { "name", With(Request(Kind.Heating, (0, 20)), request => request.Name = SampleStudio.North) },
        { "kind", Request(Kind.Unspecified, (0, 20)) },
        { "points", Request(Kind.Heating) },
        { "points", Request(Kind.None, (0, 20)) },
        { "points", Request(Kind.Outdoor, [.. Enumerable.Range(0, 501).Select(hour => ((double)hour, 10.0))]) },
        { "points[1].point_time", Request(Kind.Outdoor, (1, 10), (1, 11)) },
        { "points[2].point_time", Request(Kind.Outdoor, (0, 10), (2, 11), (1, 12)) },
        { "points[0].point_time", With(Request(Kind.Outdoor, (1, 10)), request => request.Points[0].PointTime = null) },
        { "points[0].temperature_celsius", Request(Kind.Outdoor, (0, -40.1)) },
        { "points[0].temperature_celsius", Request(Kind.Outdoor, (0, 60.1)) },
        { "points[0].temperature_celsius", Request(Kind.Heating, (0, -0.1)) },
        { "points[0].temperature_celsius", Request(Kind.Heating, (0, 45.1)) },
        { "points[0].temperature_celsius", Request(Kind.Heating, (0, double.NaN)) },
    };

    [Theory]
    [MemberData(nameof(Malformed), DisableDiscoveryEnumeration = true)]
    public async Task SetBenchOutlook_Malformed_NamesTheField(string field, SetBenchOutlookRequest request)
    {
        var refusal = await RefusalAsync(request);

        Assert.Equal(("FIELD_INVALID", field), (refusal.Reason(), Assert.Single(refusal.Fields())));
        Assert.Equal(Kind.None, (await GetAsync()).Kind);
    }

    [Fact]
    public async Task SetBenchOutlook_OfFiveHundredPoints_IsAccepted() => Assert.Equal(500, (await _climate.SetBenchOutlookAsync(
        Request(Kind.Outdoor, [.. Enumerable.Range(0, 500).Select(hour => ((double)hour, 10.0))]))).Points.Count);

    [Fact]
    public async Task Outlook_OfAnUnknownBench_IsNotFound()
    {
        var nowhere = $"{SampleStudio.North}/benches/nowhere";
        var set = await RefusalAsync(With(Request(Kind.Heating, (0, 20)), request => request.Name = nowhere));
        var get = await Assert.ThrowsAsync<RpcException>(async () => await _climate.GetBenchOutlookAsync(new() { Name = nowhere }));

        Assert.Equal([(StatusCode.NotFound, "BENCH_NOT_FOUND"), (StatusCode.NotFound, "BENCH_NOT_FOUND")],
            new[] { set, get }.Select(refusal => (refusal.StatusCode, refusal.Reason())));
    }

    private static SetBenchOutlookRequest Request(Kind kind, params (double AtHours, double Celsius)[] points) => new()
    {
        Name = SampleStudio.NorthBench,
        Kind = kind,
        Points =
        {
            points.Select(point => new Point
            {
                PointTime = Timestamp.FromDateTimeOffset(StudioHarness.Start.AddHours(point.AtHours)), TemperatureCelsius = point.Celsius,
            }),
        },
    };

    private static SetBenchOutlookRequest With(SetBenchOutlookRequest request, Action<SetBenchOutlookRequest> change)
    {
        change(request);
        return request;
    }

    private async Task<BenchOutlook> GetAsync() => await _climate.GetBenchOutlookAsync(new() { Name = SampleStudio.NorthBench });

    private Task<RpcException> RefusalAsync(SetBenchOutlookRequest request) =>
        Assert.ThrowsAsync<RpcException>(async () => await _climate.SetBenchOutlookAsync(request));
}
