using Pourwright.Cure.Climate;
using Pourwright.Cure.Ladder;
using Pourwright.Cure.Readiness;
using Pourwright.Studio.Climate;
using Pourwright.Studio.Forecasts;
using static Pourwright.Studio.Tests.Forecasts.Rooms;
using Kind = Pourwright.V1.BenchOutlook.Types.Kind;

namespace Pourwright.Studio.Tests.Forecasts;

/// <summary>Weather and heating that are said beforehand. Bends within 0.2 K are left out.</summary>
public sealed class RoomOutlookTests
{
    private const double Bends = 0.2 + 1e-9;

    /// <summary>21 °C from six to eighteen o'clock, 15 °C by night; the pour is at noon.</summary>
    private static readonly (double AtHours, double Celsius)[] DayAndNight =
        [.. Enumerable.Range(-8, 20).Select(half => (half * 12 + 6.0, half % 2 == 0 ? 15.0 : 21.0))];

    // A room that stood at 15 °C tells no lag: 6 h. Heating to 21 °C at 2 h: 15 + 6 (1 − e^(−6/6)) = 18.793 at 8 h; 21 in the end.
    [Theory]
    [InlineData(1, 15)]
    [InlineData(2, 15)]
    [InlineData(8, 18.793)]
    [InlineData(60, 21)]
    public void Heating_StillCold_WarmsTheRoomAfterTheUsualLag(double hours, double celsius)
    {
        var room = Course(0, Hourly(-72, 0, _ => 15), outlook: Outlook(Kind.Heating, [(-72, 15), (2, 21)]));

        Assert.Equal(celsius, room.CelsiusAt(hours), Bends);
        Assert.StartsWith("The heating schedule, with an assumed room lag of 6 h.", room.Assumption);
    }

    // Four days of a room that lags by 5 h and stays 1 K below its set points: both are found, and the days to come are theirs.
    [Fact]
    public void Heating_WithDaysOfReadings_GoesOnWithTheLagTheyTell()
    {
        var (lag, drive) = (new RoomLag(5, -1), AirDrive.Held(DayAndNight));
        double Air(double hour) => lag.Celsius(drive, 14, -90, hour);
        var room = Course(0, Hourly(-90, 0, Air), outlook: Outlook(Kind.Heating, DayAndNight));

        Assert.StartsWith("The heating schedule less 1.0 K, with a room lag of 5 h fitted to the last 4 days.", room.Assumption);
        Assert.All(Enumerable.Range(0, 140).Select(hour => (double)hour), hour => Assert.Equal(Air(hour), room.CelsiusAt(hour), Bends));
    }

    // Weather about 8 °C by 5 K in a room 9 K above it, lag 10 h.
    [Fact]
    public void Outdoor_WithDaysOfReadings_GoesOnWithTheLagTheyTell()
    {
        (double AtHours, double Celsius)[] weather = [.. Enumerable.Range(-96, 145).Select(h => ((double)h, 8 + 5 * Math.Sin(h / 24.0 * 2 * Math.PI)))];
        var (lag, drive) = (new RoomLag(10, 9), new AirDrive(weather));
        double Air(double hour) => lag.Celsius(drive, 16, -96, hour);
        var room = Course(0, Hourly(-96, 0, Air), outlook: Outlook(Kind.Outdoor, weather));

        Assert.StartsWith("The outdoor forecast plus 9.0 K, with a room lag of 10 h fitted to the last 4 days.", room.Assumption);
        Assert.All(Enumerable.Range(0, 48).Select(hour => (double)hour), hour => Assert.Equal(Air(hour), room.CelsiusAt(hour), Bends));
    }

    // Nothing outdoors is known of the past: the room's last day, 18 °C, stands 10 K above the next day's 8 °C. Then it grows colder by
    // 5 K: 13 °C in the end.
    [Fact]
    public void Outdoor_OfDaysToComeAlone_KeepsTheRoomAsFarAboveItAsItIs()
    {
        var room = Course(0, Hourly(-48, 0, _ => 18), outlook: Outlook(Kind.Outdoor, [(0, 8), (24, 8), (25, 3), (100, 3)]));

        Assert.StartsWith("The outdoor forecast plus 10.0 K, with an assumed room lag of 6 h.", room.Assumption);
        Assert.Equal([18, 18], new[] { room.CelsiusAt(0), room.CelsiusAt(24) }, (a, b) => Math.Abs(a - b) < 0.2);
        Assert.Equal(13, room.CelsiusAt(90), Bends);
    }

    [Fact]
    public void Outlook_ThatBeginsLater_LeavesTheTimeUntilThenToTheReadings()
    {
        var room = Course(0, [Reading(-1, 18), Reading(0, 18)], outlook: Outlook(Kind.Heating, [(10, 24)]));

        Assert.Equal(18, room.CelsiusAt(10), Bends);
        Assert.Equal(24 - 6 / Math.E, room.CelsiusAt(16), Bends);
        Assert.Contains("It begins in 10 h 0 min; until then: It stays at the last reading, 18.0 °C", room.Assumption);
    }

    // A last set point holds for three days. The last two days are then the same: the last repeats, level.
    [Fact]
    public void Heating_LongAfterItsLastPoint_LeavesTheRoomAsItCameToBe()
    {
        var room = Course(0, [Reading(0, 16)], outlook: Outlook(Kind.Heating, [(0, 22)]));

        Assert.Equal([22, 22, 22], new[] { 60.0, 80, 300 }.Select(room.CelsiusAt), (a, b) => Math.Abs(a - b) < 0.2);
        Assert.Contains("Where it ends, the last day repeats.", room.Assumption);
    }

    // Weather that ends after ten hours, too short to repeat: the room stays at what it came to.
    [Fact]
    public void Outdoor_AfterItsLastPoint_HoldsTheLastTemperature()
    {
        var room = Course(0, [Reading(0, 16)], outlook: Outlook(Kind.Outdoor, [(0, 10), (10, 20)]));

        Assert.Equal(room.CelsiusAt(10), room.CelsiusAt(300), Bends);
        Assert.NotEqual(16, room.CelsiusAt(10), Bends);
        Assert.Contains("Where it ends, the last temperature holds.", room.Assumption);
    }

    [Theory]
    [InlineData(Kind.Outdoor, -1)]
    [InlineData(Kind.Heating, -73)]
    public void Outlook_ThatIsOver_ChangesNothing(Kind kind, double lastHour)
    {
        var readings = Hourly(-100, 0, hour => 18 + hour / 50);
        var (with, without) = (Course(0, readings, outlook: Outlook(kind, [(-90, 5), (lastHour, 30)])), Course(0, readings));

        Assert.Equal(without.Assumption, with.Assumption);
        Assert.Equal(without.Ambient, with.Ambient);
    }

    [Fact]
    public void Outlook_TakenBack_ChangesNothing() => Assert.Equal(
        Course(0, [Reading(0, 18)]).Assumption, Course(0, [Reading(0, 18)], outlook: Outlook(Kind.None, [])).Assumption);

    // Nobody measures: the room is where its thermostat would have it, 20 °C at the pour, and follows it from there.
    [Fact]
    public void Heating_WithoutAnyReading_StartsInBalance()
    {
        var room = Course(0, [], outlook: Outlook(Kind.Heating, [(-5, 20), (12, 14)]));

        Assert.Equal(20, room.CelsiusAt(12), Bends);
        Assert.Equal(14 + 6 / Math.E, room.CelsiusAt(18), Bends);
        Assert.Equal(2.5, DoubtAt(room, 40), 9);
    }

    // After the sensor fell silent the schedule goes on from its last reading.
    [Fact]
    public void Heating_ThroughASilence_GoesOnFromTheLastReading()
    {
        var room = Course(20, Hourly(-48, 0, _ => 15), outlook: Outlook(Kind.Heating, [(-48, 15), (2, 21)]));

        Assert.Equal(21 - 6 * Math.Exp(-18 / 6.0), room.CelsiusAt(20), Bends);
        Assert.Contains("silent for 20 h 0 min", room.Assumption);
    }

    // 30 mm in a room that stands at 15 °C; heating to 22 °C is planned for tomorrow. Not one reading is warm yet.
    [Fact]
    public void Demold_WithAHeatingStepPlanned_ComesEarlierBeforeTheRoomIsWarm()
    {
        var readings = Hourly(-48, 1, _ => 15);
        double Safe(OutlookRecord? outlook) => LadderForecaster.Forecast(new()
        {
            Layers = [new(0, 30, 18, ResinCureModel.DeepCasting)], Ambient = Course(1, readings, outlook: outlook).Ambient,
        }).Demold.SafeHours!.Value;

        Assert.True(Safe(Outlook(Kind.Heating, [(-48, 15), (24, 22)])) < Safe(null) - 10);
    }
}
