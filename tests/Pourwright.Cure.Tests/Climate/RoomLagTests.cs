using Pourwright.Cure.Climate;
using Xunit.Abstractions;

namespace Pourwright.Cure.Tests.Climate;

public class RoomLagTests(ITestOutputHelper output)
{
    // Step response: 20 − 8 e^(−t/5). At 5 h 20 − 8/e = 17.057, at 10 h 20 − 8/e² = 18.917.
    [Theory]
    [InlineData(0, 12)]
    [InlineData(5, 17.05696)]
    [InlineData(10, 18.91732)]
    [InlineData(1000, 20)]
    public void Celsius_AfterAStep_IsTheExponential(double hours, double celsius)
    {
        Assert.Equal(celsius, new RoomLag(5, 0).Celsius(new([(0, 20)]), 12, 0, hours), 1e-5);
        Assert.Equal(celsius, new RoomLag(5, 3).Celsius(new([(0, 17)]), 12, 0, hours), 1e-5);
    }

    // Ramp D = 10 + t from balance at 10 °C, τ = 4 h: T = D − 4 + 4 e^(−t/4); after 8 h 18 − 4 + 4 e^(−2) = 14.54134; long after,
    // 4 K behind.
    [Theory]
    [InlineData(8, 14.54134)]
    [InlineData(80, 86)]
    public void Celsius_AlongARamp_LagsByTauTimesTheSlope(double hours, double celsius) =>
        Assert.Equal(celsius, new RoomLag(4, 0).Celsius(new([(0, 10), (100, 110)]), 10, 0, hours), 1e-5);

    // In one go or hour by hour: e^(−a) e^(−b) = e^(−(a + b)), over ramps and jumps alike.
    [Fact]
    public void Celsius_InPieces_IsTheSameAsInOne()
    {
        var drive = AirDrive.Held([(0, 15), (6, 21), (18, 15), (30, 21)]);
        var weather = new AirDrive([(0, 5), (7.5, 12), (16, 9), (24, 4)]);
        foreach (var lag in new RoomLag[] { new(0.3, 1), new(7, -2) })
            foreach (var follows in new[] { drive, weather })
            {
                var hourly = Enumerable.Range(-3, 40).Aggregate(18.0, (celsius, hour) => lag.Celsius(follows, celsius, hour, hour + 1));
                Assert.Equal(lag.Celsius(follows, 18, -3, 37), hourly, 1e-9);
            }
    }

    // Set points hold: 15 °C until 6 h, 21 °C from then on, and for good after the last. Weather runs on straight lines.
    [Theory]
    [InlineData(-5, 15, 15)]
    [InlineData(5.99, 15, 20.99)]
    [InlineData(6, 21, 21)]
    [InlineData(100, 21, 21)]
    public void Drive_HeldOrStraight_IsWhatItSays(double hour, double held, double straight)
    {
        Assert.Equal(held, AirDrive.Held([(0, 15), (6, 21)]).Celsius(hour), 1e-9);
        Assert.Equal(straight, new AirDrive([(0, 15), (6, 21)]).Celsius(hour), 1e-9);
    }

    [Fact]
    public void Drive_OfNothingOrBackwards_IsRefused()
    {
        Assert.Throws<ArgumentException>(() => new AirDrive([]));
        Assert.Throws<ArgumentException>(() => new AirDrive([(1, 20), (0, 20)]));
    }

    // Made with the lag and read back without noise: to 1 %. Steps of 20 min to 3 h, heating by day; then a constant of 19 °C that
    // the room comes down to from 27 °C.
    [Theory]
    [InlineData(1.5)]
    [InlineData(5)]
    [InlineData(20)]
    public void Fit_OfExactReadings_FindsTauAndOffset(double tau)
    {
        var random = new Random(3);
        var heating = AirDrive.Held([.. Enumerable.Range(0, 10).Select(i => (i * 12.0, i % 2 == 0 ? 21.0 : 15.0))]);
        var times = Enumerable.Range(0, 60).Aggregate(new List<double> { 0 }, (all, _) => [.. all, all[^1] + 0.33 + 2.67 * random.NextDouble()]);

        var heated = RoomLagFit.Of(Readings(times, heating, new(tau, -1.5), 16), heating)!;
        Assert.True(heated.TellsTau);
        Assert.Equal((tau, -1.5), (heated.Lag.TauHours, heated.Lag.OffsetKelvin), Within(0.01 * tau, 0.01));
        Assert.Equal(0, heated.ResidualSdKelvin, 1e-3);

        var alone = RoomLagFit.Of(Readings(times, new([(0, 0)]), new(tau, 19), 27))!;
        Assert.Equal((tau, 19), (alone.Lag.TauHours, alone.Lag.OffsetKelvin), Within(0.01 * tau, 0.02));
    }

    // Four days of hourly means with 0.1 K of noise, ten seeds: τ = 5 h within 15 %, the offset within 0.3 K. Noise alone reads τ low,
    // for a step from a reading that is 0.1 K too high goes down by itself.
    [Fact]
    public void Fit_OfNoisyReadings_FindsTauWithinFifteenPercent()
    {
        var weather = new AirDrive([.. Enumerable.Range(0, 97).Select(h => ((double)h, 8 + 5 * Math.Sin(h / 24.0 * 2 * Math.PI) + 0.03 * h))]);
        var exact = Readings(Enumerable.Range(0, 97).Select(h => (double)h), weather, new(5, 4), 12);
        foreach (var seed in Enumerable.Range(0, 10))
        {
            var random = new Random(seed);
            var fit = RoomLagFit.Of([.. exact.Select(r => (r.AtHours, r.Celsius + 0.1 * Normal(random)))], weather)!;
            output.WriteLine($"{fit.Lag} {fit.TauLnSd:0.000} {fit.ResidualSdKelvin:0.000}");
            Assert.True(fit.TellsTau);
            Assert.Equal((5, 4), (fit.Lag.TauHours, fit.Lag.OffsetKelvin), Within(0.75, 0.3));
            Assert.InRange(fit.ResidualSdKelvin, 0.1, 0.2);
        }
    }

    // 11 °C more than outdoors by the heating, which swings by 5 K: the room does not follow, so it is slow. That is told, not the
    // default.
    [Fact]
    public void Fit_OfAStillRoomUnderMovingWeather_IsSlow()
    {
        var weather = new AirDrive([.. Enumerable.Range(0, 73).Select(h => ((double)h, 9 + 5 * Math.Sin(h / 24.0 * 2 * Math.PI)))]);
        var fit = RoomLagFit.Of([.. Enumerable.Range(0, 73).Select(h => ((double)h, 20.0))], weather)!;
        Assert.True(fit.TellsTau);
        Assert.InRange(fit.Lag.TauHours, 90, 96);
        Assert.Equal(11, fit.Lag.OffsetKelvin, 0.5);
    }

    // A thermostat at 20 °C that holds 18.5 °C, with 0.1 K of noise: nothing is told of τ, but that it stands 1.5 K below.
    [Fact]
    public void Fit_OfAFlatRoom_TellsTheOffsetAlone()
    {
        var random = new Random(5);
        var fit = RoomLagFit.Of([.. Enumerable.Range(0, 73).Select(h => ((double)h, 18.5 + 0.1 * Normal(random)))], AirDrive.Held([(0, 20)]))!;
        Assert.False(fit.TellsTau);
        Assert.Equal(RoomLag.UnknownTauHours, fit.Lag.TauHours);
        Assert.Equal(-1.5, fit.Lag.OffsetKelvin, 0.1);
    }

    [Theory]
    [InlineData(13, 1.0, true)]  // 12 steps over 12 h.
    [InlineData(12, 1.2, false)] // 11 steps.
    [InlineData(40, 0.3, false)] // 11.7 h.
    public void Fit_OfTooFewReadings_IsNone(int count, double everyHours, bool fitted)
    {
        var readings = Readings(Enumerable.Range(0, count).Select(i => i * everyHours), new([(0, 0)]), new(4, 20), 12);
        Assert.Equal(fitted, RoomLagFit.Of(readings) is not null);
    }

    private static (double AtHours, double Celsius)[] Readings(IEnumerable<double> times, AirDrive drive, RoomLag lag, double firstCelsius) =>
        [.. times.Select(hour => (hour, lag.Celsius(drive, firstCelsius, 0, hour)))];

    private static double Normal(Random random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());

    private static EqualityComparer<(double, double)> Within(double first, double second) => EqualityComparer<(double, double)>.Create(
        (a, b) => Math.Abs(a.Item1 - b.Item1) <= first && Math.Abs(a.Item2 - b.Item2) <= second, _ => 0);
}
