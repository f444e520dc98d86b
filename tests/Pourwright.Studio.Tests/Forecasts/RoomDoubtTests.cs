using Pourwright.Cure.Ladder;
using Pourwright.Cure.Readiness;
using Pourwright.Studio.Climate;
using Pourwright.Studio.Forecasts;
using static Pourwright.Studio.Tests.Forecasts.Rooms;

namespace Pourwright.Studio.Tests.Forecasts;

/// <summary>How sure a room is. A doubt of 1 is 1 K of standard deviation; bends within 0.1 are left out.</summary>
public sealed class RoomDoubtTests
{
    private const double Bends = 0.1 + 1e-9;

    // √(0.4² + 1²) = 1.077 at 6 h, √(0.4² + 2.5²) = 2.532 at 48 h: the sensor's place, and the room since its reading.
    [Theory]
    [InlineData(0, 0.4)]
    [InlineData(6, 1.077)]
    [InlineData(48, 2.532)]
    public void Doubt_AfterTheOnlyReading_GrowsAsOfARoomThatShowedNothing(double hours, double kelvin) =>
        Assert.Equal(kelvin, DoubtAt(Course(0, [Reading(0, 20)]), hours), Bends);

    // Twelve hours without a reading. In the middle, σ(6)²/σ(12) with σ(12) = 3.727 √(1 − e^(−24/160.6)) = 1.388: 0.720, and with the
    // sensor's place √(0.4² + 0.72²) = 0.82. Hours 0 to 2 and 14 are read.
    [Theory]
    [InlineData(1.5, 0.4)]
    [InlineData(2, 0.4)]
    [InlineData(8, 0.82)]
    [InlineData(14, 0.4)]
    public void Doubt_InAGap_GrowsIntoItsMiddle(double hours, double kelvin) =>
        Assert.Equal(kelvin, DoubtAt(Course(14, [Reading(0, 20), Reading(1, 20), Reading(2, 20), Reading(14, 20)]), hours), Bends);

    [Fact]
    public void Doubt_BeforeTheFirstReading_GrowsBackFromIt()
    {
        var room = Course(12, [Reading(12, 20)]);
        Assert.Equal(Math.Sqrt(0.16 + 1.388 * 1.388), DoubtAt(room, 0), Bends);
        Assert.Equal(0.4, DoubtAt(room, 12), Bends);
    }

    // A week at 20 °C: seven days and two that are believed, √(2/9) = 0.47 of the default's 2.5 K at two days, somewhat more since
    // long leads saw fewer days.
    [Fact]
    public void Doubt_OfARoomThatStoodStillForAWeek_IsLess()
    {
        var room = Course(0, Hourly(-168, 0, _ => 20));
        Assert.InRange(DoubtAt(room, 48), 0.47 * 2.5, 0.6 * 2.5);
    }

    // Each day by itself repeats; one that also wanders is off by what it wandered. A swing alone costs nothing.
    [Fact]
    public void Doubt_OfARoomThatWanders_IsMoreThanOfOneThatSwings()
    {
        static double Swing(double hour) => 20 + 2 * Math.Sin(hour / 24 * 2 * Math.PI);
        var (swings, wanders) = (Course(0, Hourly(-168, 0, Swing)), Course(0, Hourly(-168, 0, h => Swing(h) + 1.5 * Math.Sin(h / 70 * 2 * Math.PI))));
        Assert.Contains("repeats", swings.Assumption);
        Assert.Contains("repeats", wanders.Assumption);
        Assert.True(DoubtAt(wanders, 24) > 1.5 * DoubtAt(swings, 24));
    }

    [Fact]
    public void Assumption_SaysHowSureItIs() => Assert.EndsWith(
        "Off by 0.4 K or so where it was read, 1.1 K six hours on, 2.5 K two days on.", Course(0, [Reading(0, 20)]).Assumption);

    [Fact]
    public void Doubt_OfABenchThePieceHasLeft_IsOfItsOwnReadings()
    {
        BenchStay read = Stay(0, Hourly(0, 4, _ => 20)), planned = Stay(5, []) with { PlannedCelsius = 18 };
        var room = RoomForecast.Course([read, planned], Pour + 6 * Hour, Pour + 336 * Hour);
        Assert.Equal(0.4, DoubtAt(room, 3), Bends);
        Assert.Equal(2.5, DoubtAt(room, 6), 9);
    }

    // 30 mm, hard enough to work on at 20 °C about 54 h after the pour, in a room that stands at 20 °C and is read from the pour on. Of the
    // air alone 18 h lie between 5 and 95 % at the pour, 6 h a day later and 3 h after two. With all else that is in doubt, the rate above
    // all, the range is 48, 46 and 44 h.
    [Fact]
    public void Demold_AsReadingsComeIn_IsSurerAndStays()
    {
        static RoomCourse After(int hours) => Course(hours, Hourly(0, hours, _ => 20));
        RoomCourse[] rooms = [After(1), After(24), After(48)];
        GateTimes[] ofTheAir = [.. rooms.Select(room => Demold(room, AirAlone))], all = [.. rooms.Select(room => Demold(room, CureSpread.Default))];

        Assert.True(Width(ofTheAir[0]) > 2 * Width(ofTheAir[1]) && Width(ofTheAir[1]) > 1.5 * Width(ofTheAir[2]), string.Join(", ", ofTheAir.Select(Width)));
        Assert.True(Width(all[0]) > Width(all[1]) + 0.5 && Width(all[1]) > Width(all[2]) + 0.5, string.Join(", ", all.Select(Width)));
        Assert.All(ofTheAir, times => Assert.Equal(ofTheAir[2].LikelyHours!.Value, times.LikelyHours!.Value, 0.5));
    }

    private static readonly CureSpread AirAlone = new() { RateLnSd = 0, HeatLnSd = 0, HeatLossLnSd = 0, TgOffsetSdKelvin = 0 };

    private static double Width(GateTimes times) => times.SafeHours!.Value - times.EarliestHours!.Value;

    private static GateTimes Demold(RoomCourse room, CureSpread spread) => LadderForecaster.Forecast(
        new() { Layers = [new(0, 30, 20, ResinCureModel.DeepCasting)], Ambient = room.Ambient, WorkCelsius = 20 }, spread).Demold;
}
