using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Pourwright.Studio.Climate;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Climate;

public sealed class ClimateServiceTests : IAsyncLifetime
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
    public async Task RecordReadings_SentAgain_CountsThemAsRepeats()
    {
        var first = await RecordAsync(Reading(0, 20), Reading(1, 19.5));
        var again = await RecordAsync(Reading(0, 20), Reading(1, 19.5), Reading(2, 19));

        Assert.Equal((2, 0), (first.AddedCount, first.RepeatedCount));
        Assert.Equal((1, 2), (again.AddedCount, again.RepeatedCount));
        Assert.Equal(3, (await ListAsync()).Count);
    }

    [Fact]
    public async Task RecordReadings_OneDisagreesWithTheRecord_IsRefusedAndNoneIsKept()
    {
        await RecordAsync(Reading(0, 20));

        var refusal = await Assert.ThrowsAsync<RpcException>(() => RecordAsync(Reading(1, 18), Reading(0, 21)));

        Assert.Equal((StatusCode.FailedPrecondition, "READING_CONFLICT"), (refusal.StatusCode, refusal.Reason()));
        var facts = refusal.Facts();
        Assert.Equal(("readings[1]", "21 °C", "20 °C"), (facts["field"], facts["sent"], facts["recorded"]));
        Assert.Equal([20], (await ListAsync()).Select(reading => reading.TemperatureCelsius));
    }

    [Fact]
    public async Task RecordReadings_DisagreeingWithinTheBatch_IsRefused()
    {
        var refusal = await Assert.ThrowsAsync<RpcException>(() => RecordAsync(Reading(0, 20), Reading(0, 20.5)));

        Assert.Equal(("READING_CONFLICT", "readings[1]"), (refusal.Reason(), refusal.Facts()["field"]));
        Assert.Empty(await ListAsync());
    }

    [Fact]
    public async Task RecordReadings_Late_TakesItsPlaceAndLeavesTheLastOne()
    {
        await RecordAsync(Reading(0, 20));
        await RecordAsync(Reading(5, 17), Reading(3, 18));

        Assert.Equal([17, 18, 20], (await ListAsync()).Select(reading => reading.TemperatureCelsius));
        Assert.Equal(20, (await ClimateAsync()).Reading.TemperatureCelsius);
        Assert.Equal(StudioHarness.Start.ToUnixTimeMilliseconds(), LastReadingMs());
    }

    [Theory]
    [InlineData(5, true)]
    [InlineData(5.1, false)]
    public async Task RecordReadings_AheadOfTheClock_IsAcceptedUpToFiveMinutes(double minutesAhead, bool accepted)
    {
        var call = RecordAsync(Reading(-minutesAhead / 60, 20));

        if (accepted) Assert.Equal(1, (await call).AddedCount);
        else Assert.Equal("TIME_IN_FUTURE", (await Assert.ThrowsAsync<RpcException>(() => call)).Reason());
    }

    public static TheoryData<string, Action<V1.Reading>> Malformed => new()
    {
        { "readings[0].sensor", reading => reading.Sensor = SampleStudio.SouthSensor },
        { "readings[0].sensor", reading => reading.Sensor = "shelf-logger" },
        { "readings[0].reading_time", reading => reading.ReadingTime = null },
        { "readings[0].temperature_celsius", reading => reading.TemperatureCelsius = 60.1 },
        { "readings[0].temperature_celsius", reading => reading.TemperatureCelsius = double.NaN },
        { "readings[0].relative_humidity_percent", reading => reading.RelativeHumidityPercent = 100.1 },
        { "readings[0].surface_temperature_celsius", reading => reading.SurfaceTemperatureCelsius = -41 },
    };

    [Theory]
    [MemberData(nameof(Malformed))]
    public async Task RecordReadings_Malformed_NamesTheField(string field, Action<V1.Reading> spoil)
    {
        var reading = Reading(0, 20);
        spoil(reading);

        var refusal = await Assert.ThrowsAsync<RpcException>(() => RecordAsync(reading));

        Assert.Equal(("FIELD_INVALID", field), (refusal.Reason(), refusal.Fields().Single()));
    }

    [Theory]
    [InlineData(0)]
    [InlineData(1001)]
    public async Task RecordReadings_TooFewOrMany_IsRefused(int count)
    {
        var refusal = await Assert.ThrowsAsync<RpcException>(
            () => RecordAsync([.. Enumerable.Range(0, count).Select(i => Reading(i, 20))]));

        Assert.Equal("readings", refusal.Fields().Single());
    }

    [Fact]
    public async Task RecordReadings_OfAnUnknownSensor_IsNotFound()
    {
        var reading = Reading(0, 20);
        reading.Sensor = $"{SampleStudio.North}/sensors/nowhere";

        var refusal = await Assert.ThrowsAsync<RpcException>(() => RecordAsync(reading));

        Assert.Equal((StatusCode.NotFound, "SENSOR_NOT_FOUND"), (refusal.StatusCode, refusal.Reason()));
    }

    [Fact]
    public async Task StreamReadings_ThreeBatches_SumsThemUp()
    {
        using var call = _climate.StreamReadings();
        foreach (var batch in new[] { Batch(Reading(0, 20)), Batch(Reading(1, 20), Reading(0, 20)), Batch(Reading(2, 20)) })
            await call.RequestStream.WriteAsync(batch);
        await call.RequestStream.CompleteAsync();

        var total = await call.ResponseAsync;

        Assert.Equal((3, 3, 1), (total.BatchCount, total.AddedCount, total.RepeatedCount));
    }

    [Fact]
    public async Task StreamReadings_ThirdBatchRefused_SaysWhichAndKeepsThoseBefore()
    {
        using var call = _climate.StreamReadings();
        await call.RequestStream.WriteAsync(Batch(Reading(0, 20)));
        await call.RequestStream.WriteAsync(Batch(Reading(1, 20)));
        await call.RequestStream.WriteAsync(Batch(Reading(2, 20), Reading(1, 25)));

        var refusal = await Assert.ThrowsAsync<RpcException>(async () => await call.ResponseAsync);

        Assert.Equal(("READING_CONFLICT", "2", "readings[1]"), (refusal.Reason(), refusal.Facts()["message_index"], refusal.Facts()["field"]));
        Assert.StartsWith("Message 2 of the stream", refusal.Status.Detail);
        Assert.Equal(2, (await ListAsync()).Count);
    }

    [Fact]
    public async Task StreamReadings_ABatchRepeatedWithItsRequestId_IsHarmless()
    {
        var batch = Batch(Reading(0, 20));
        batch.RequestId = Guid.NewGuid().ToString();
        using var call = _climate.StreamReadings();
        await call.RequestStream.WriteAsync(batch);
        await call.RequestStream.WriteAsync(batch);
        await call.RequestStream.CompleteAsync();

        // The first answer comes again: one added, twice told.
        var total = await call.ResponseAsync;
        Assert.Equal((2, 2, 0), (total.BatchCount, total.AddedCount, total.RepeatedCount));
        Assert.Single(await ListAsync());
    }

    [Fact]
    public async Task ListReadings_InPages_GivesEachOnceFromStartToBeforeEnd()
    {
        await RecordAsync([.. Enumerable.Range(0, 8).Select(hoursAgo => Reading(hoursAgo, 20 + hoursAgo))]);
        var request = new ListReadingsRequest
        {
            Parent = SampleStudio.NorthSensor, PageSize = 2, StartTime = Ago(6), EndTime = Ago(1),
        };
        List<double> seen = [];
        do
        {
            var page = await _climate.ListReadingsAsync(request);
            Assert.InRange(page.Readings.Count, 1, 2);
            seen.AddRange(page.Readings.Select(reading => reading.TemperatureCelsius));
            request.PageToken = page.NextPageToken;
        }
        while (request.PageToken.Length > 0);

        Assert.Equal([26, 25, 24, 23, 22], seen);
    }

    [Fact]
    public async Task GetBenchClimate_WithSurface_TellsTheMarginOfTheSurface()
    {
        var reading = Reading(1, 20);
        (reading.RelativeHumidityPercent, reading.SurfaceTemperatureCelsius) = (50, 12);
        await RecordAsync(reading);

        var climate = await ClimateAsync();

        // Dew point of 20 °C at 50 %: 9.26 °C (Magnus form, 17.62 and 243.12 °C); 12 − 9.26 = 2.74.
        Assert.Equal((9.26, 2.74), (Math.Round(climate.DewPointCelsius, 2), Math.Round(climate.DewPointMarginCelsius, 2)));
        Assert.Equal(TimeSpan.FromHours(1), climate.Age.ToTimeSpan());
    }

    [Fact]
    public async Task GetBenchClimate_OverThreeIntervalsAfterTheLastReading_IsSilent()
    {
        await RecordAsync(Reading(0, 20));

        // The sample's logger reports each hour.
        _harness.Clock.Advance(TimeSpan.FromHours(3));
        Assert.False((await ClimateAsync()).Silent);
        _harness.Clock.Advance(TimeSpan.FromMilliseconds(1));
        Assert.True((await ClimateAsync()).Silent);
    }

    [Fact]
    public async Task GetBenchClimate_WithoutAnyReading_IsSilentAndSaysNothing()
    {
        var climate = await ClimateAsync();

        Assert.True(climate.Silent);
        Assert.Null(climate.Reading);
        Assert.False(climate.HasDewPointCelsius);
    }

    private async Task<RecordReadingsResponse> RecordAsync(params V1.Reading[] readings) =>
        await _climate.RecordReadingsAsync(new() { Parent = SampleStudio.North, Readings = { readings } });

    private async Task<IReadOnlyList<V1.Reading>> ListAsync() =>
        (await _climate.ListReadingsAsync(new() { Parent = SampleStudio.NorthSensor })).Readings;

    private async Task<BenchClimate> ClimateAsync() => await _climate.GetBenchClimateAsync(new() { Name = SampleStudio.NorthBench });

    private long LastReadingMs() => _harness.Reads.Read(session => session.Scalar<long>(
        "SELECT last_reading_ms FROM sensors WHERE name = @name", new { name = SampleStudio.NorthSensor }));

    private static StreamReadingsRequest Batch(params V1.Reading[] readings) => new() { Parent = SampleStudio.North, Readings = { readings } };

    private static V1.Reading Reading(double hoursAgo, double celsius) => new()
    {
        Sensor = SampleStudio.NorthSensor, ReadingTime = Ago(hoursAgo), TemperatureCelsius = celsius,
    };

    private static Timestamp Ago(double hours) => Timestamp.FromDateTimeOffset(StudioHarness.Start.AddHours(-hours));
}
