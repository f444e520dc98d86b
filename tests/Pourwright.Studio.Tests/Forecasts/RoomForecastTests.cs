using Pourwright.Cure.Readiness;
using Pourwright.Studio.Forecasts;
using static Pourwright.Studio.Tests.Forecasts.Rooms;

namespace Pourwright.Studio.Tests.Forecasts;

/// <summary>Hours from the first pour at 0; a logger that reports each hour, so that anything over three hours is a gap.</summary>
public sealed class RoomForecastTests
{
    [Fact]
    public void Course_ReadingsOfADay_ThenRepeatsThatDay()
    {
        // One day of readings: 16 °C until hour 12, 22 °C at hours 12 to 23, 16 °C at hour 24. Hour 24 equals hour 0, so that the
        // offset is 16 − 16 = 0 and hour 24 + n is hour n.
        var room = Course(24, Day(hour => hour is >= 12 and < 24 ? 22 : 16));

        Assert.Equal(16, room.CelsiusAt(24 + 6), 9);
        Assert.Equal(22, room.CelsiusAt(24 + 15), 9);
        Assert.Equal(22, room.CelsiusAt(24 + 24 + 15), 9);
        Assert.Equal(22, room.CelsiusAt(24 * 13 + 15), 9);
        Assert.Contains("repeats", room.Assumption);
        Assert.Empty(room.Cautions);
    }

    [Theory]
    [InlineData(24, 17)]   // Joined to the last reading: 20 + offset −3.
    [InlineData(26, 18)]   // Offset −3 · (1 − 2/6) = −2.
    [InlineData(29, 19.5)] // −3 · (1 − 5/6) = −0.5.
    [InlineData(30, 20)]   // Faded.
    [InlineData(47, 20)]   // Hour 23 of the day.
    [InlineData(48, 17)]   // The day ends where it began: at the last reading.
    [InlineData(50, 18)]
    public void Course_LastReadingColderThanADayBefore_JoinsItAndFadesOverSixHours(double hour, double celsius)
    {
        // 20 °C for hours 0 to 23, 17 °C at hour 24: offset 17 − 20 = −3 against the day before.
        var room = Course(24, Day(h => h == 24 ? 17 : 20));

        Assert.Equal(celsius, room.CelsiusAt(hour), 9);
    }

    [Theory]
    [InlineData(3, true)]
    [InlineData(3.1, false)] // Over the 3 K of weather: the heater was switched.
    public void Course_ADayUnlikeTheOneBefore_DoesNotRepeat(double apartKelvin, bool repeats)
    {
        // 20 °C for two days, but for one hour of the last.
        var room = Course(24, [.. Day(_ => 20).Select(reading => reading.ReadingMs == Pour + 10 * Hour ? Reading(10, 20 + apartKelvin) : reading)]);

        Assert.Equal(repeats, room.Assumption.Contains("repeats"));
        Assert.Equal(repeats ? 20 + apartKelvin : 20, room.CelsiusAt(24 + 10), 9);
    }

    [Fact]
    public void Course_HeatingSwitchedOnToday_HoldsItsWarmth()
    {
        // 12 °C until hour 8, then 21 °C: the next night is not last night.
        var room = Course(24, [.. Enumerable.Range(-24, 49).Select(hour => Reading(hour, hour < 8 ? 12 : 21))]);

        Assert.Equal(21, room.CelsiusAt(24 + 4), 9);
        Assert.Contains("switched", room.Assumption);
    }

    [Theory]
    [InlineData(20, true)]
    [InlineData(19, false)]
    public void Course_RepeatsTheDay_OnlyIfTwentyOfItsHoursAreKnown(int hoursKnown, bool repeats)
    {
        // The last day runs from 0 to 24; its readings from 24 − hoursKnown on, all 18 °C but 20 °C at hour 10. The day before is whole.
        var room = Course(24, [.. Day(hour => hour == 10 ? 20 : 18).Where(reading => reading.ReadingMs < Pour || reading.ReadingMs >= Pour + (24 - hoursKnown) * Hour)]);

        Assert.Equal(repeats, room.Assumption.Contains("repeats"));
        Assert.Equal(repeats ? 20 : 18, room.CelsiusAt(24 + 24 + 10), 9);
    }

    [Fact]
    public void Course_FewReadings_HoldsTheLastOne()
    {
        var room = Course(2, [Reading(0, 21), Reading(1, 20), Reading(2, 19)]);

        Assert.Equal([21, 20, 19, 19, 19], AtEach(room, 0, 1, 2, 10, 300));
        Assert.Equal(Pour + 2 * Hour, room.LastReadingMs);
        Assert.Contains("19.0 °C", room.Assumption);
    }

    [Fact]
    public void Course_AGap_IsBridgedForTheComputationAndTold()
    {
        // 5 hours between hours 1 and 6; the line from 20 to 15 falls 1 K an hour.
        var room = Course(7, [Reading(0, 20), Reading(1, 20), Reading(6, 15), Reading(7, 15)]);

        Assert.Equal(18, room.CelsiusAt(3), 9);
        Assert.Equal(5 * Hour, room.GapMs);
        var caution = Assert.Single(room.Cautions);
        Assert.Equal(("ROOM_UNKNOWN_FOR", "300"), (caution.Reason, caution.Facts["gap_minutes"]));
        Assert.Contains("5 h 0 min", caution.Text);
    }

    [Fact]
    public void Course_AReadingBeforeThePour_CarriesTheLineToThePour()
    {
        // From −1 (22 °C) to 1 (20 °C): 21 °C at the pour. Nothing before the pour is in the course.
        var room = Course(1, [Reading(-1, 22), Reading(1, 20)]);

        Assert.Equal(new AmbientPoint(0, 21, 0.4), room.Ambient[0]);
    }

    [Fact]
    public void Course_SilentSensor_HoldsTheLastReadingAndSaysSo()
    {
        var room = Course(9.5, [Reading(0, 20), Reading(1, 19)]);

        Assert.Equal(19, room.CelsiusAt(100), 9);
        Assert.Contains("silent for 8 h 30 min", room.Assumption);
        Assert.Equal(["ROOM_UNKNOWN_FOR", "SENSOR_SILENT"], room.Cautions.Select(caution => caution.Reason));
        Assert.Equal((long)(8.5 * Hour), room.GapMs);
    }

    [Fact]
    public void Course_NoReading_TakesThePlannedTemperature()
    {
        var room = Course(0, [], plannedCelsius: 18);

        Assert.Equal([new AmbientPoint(0, 18, 2.5), new AmbientPoint(336, 18, 2.5)], room.Ambient);
        Assert.Null(room.LastReadingMs);
        Assert.Contains("planned 18.0 °C", room.Assumption);
        Assert.Empty(room.Cautions);
    }

    [Fact]
    public void Course_NothingKnown_TakesTwentyDegreesAndSaysThatNothingIsKnown()
    {
        var room = Course(0, []);

        Assert.Equal([new AmbientPoint(0, 20, 3.727), new AmbientPoint(336, 20, 3.727)], room.Ambient);
        Assert.Equal("ROOM_UNKNOWN", Assert.Single(room.Cautions).Reason);
    }

    [Fact]
    public void Course_CarriedToAnotherBench_FollowsThePiece()
    {
        BenchStay warm = Stay(0, [Reading(0, 22), Reading(1, 22), Reading(2, 22), Reading(3, 22)]);
        BenchStay cold = Stay(3, [Reading(0, 12), Reading(1, 12), Reading(2, 12), Reading(3, 12), Reading(4, 12)]);

        var room = RoomForecast.Course([warm, cold], Pour + 4 * Hour, Pour + 336 * Hour);

        // A minute on the way: 22 °C until 2 h 59 min, 12 °C from 3 h on.
        Assert.Equal([22, 22, 12, 12], AtEach(room, 0, 3 - 1 / 60.0, 3, 200));
        Assert.Equal(0, room.GapMs);
    }

    [Fact]
    public void Course_TwoSensorsAtOneInstant_CountWithTheirMean()
    {
        var room = Course(1, [Reading(0, 20), Reading(0, 22), Reading(1, 20), Reading(1, 22)]);

        Assert.Equal([21, 21, 21], AtEach(room, 0, 1, 300));
        Assert.Equal(0.4, DoubtAt(room, 1), 0.1);
    }

    [Fact]
    public void Course_ColderThanTheModelTakes_TakesTheNearestAndSaysSo()
    {
        var room = Course(1, [Reading(0, -15), Reading(1, -15)]);

        Assert.Equal(-10, room.Ambient[0].TemperatureCelsius);
        Assert.Contains(room.Cautions, caution => caution.Reason == "ROOM_OUT_OF_RANGE" && caution.Facts["temperature_celsius"] == "-15.0");
    }

    [Fact]
    public void Course_TimesStrictlyRise_AsTheEngineAsks()
    {
        var room = RoomForecast.Course(
            [Stay(0, Day(_ => 20)), Stay(0.001, Day(_ => 18)), Stay(20, Day(h => 15 + h % 5))], Pour + 24 * Hour, Pour + 336 * Hour);

        var hours = room.Ambient.Select(point => point.AtHours).ToList();
        Assert.Equal(hours.Distinct().Order(), hours);
    }

    [Fact]
    public void Course_NoiseOfALogger_CostsTheEngineNoBendsAndMovesTheAirByLessThanItErrs()
    {
        // Two days between 17 and 23 °C, read each quarter of an hour to 0.1 K with up to 0.1 K of noise (seeded).
        var random = new Random(1);
        double Air(double hour) => 20 + 3 * Math.Sin(hour / 24 * 2 * Math.PI);
        var readings = Enumerable.Range(-24 * 4, 2 * 24 * 4 + 1).Select(q => Reading(q / 4.0, Math.Round(Air(q / 4.0) + 0.2 * (random.NextDouble() - 0.5), 1))).ToList();

        var room = Course(24, readings);

        // 97 readings and 313 hours to come: a sine within 0.2 K of 3 K needs some eight lines a day.
        Assert.InRange(room.Ambient.Count, 14 * 4, 14 * 16);
        Assert.All(readings.Where(reading => reading.ReadingMs >= Pour), reading => Assert.Equal(
            reading.TemperatureCelsius, room.CelsiusAt((double)(reading.ReadingMs - Pour) / Hour), AirLinesTolerance));
        Assert.Equal(Air(6), room.CelsiusAt(24 * 9 + 6), AirLinesTolerance + 0.15);
    }

    private const double AirLinesTolerance = 0.2 + 1e-9;

    private static IEnumerable<double> AtEach(RoomCourse room, params double[] hours) => hours.Select(hour => Math.Round(room.CelsiusAt(hour), 6));
}
