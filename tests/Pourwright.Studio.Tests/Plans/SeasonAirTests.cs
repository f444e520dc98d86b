using Pourwright.Studio.Climate;
using Pourwright.Studio.Forecasts;
using Pourwright.Studio.Plans;

namespace Pourwright.Studio.Tests.Plans;

public class SeasonAirTests
{
    private const long HourMs = 3_600_000, DayMs = 24 * HourMs;
    private const long NowMs = 20_000 * DayMs;
    private const long SeasonEndMs = NowMs + 100 * DayMs;

    [Fact]
    public void From_OnlyPlanned_IsLevelAndTheSameOnEveryDay()
    {
        var air = SeasonAir.Of(Stay([], 21), SeasonEndMs, []);
        var point = Assert.Single(air.From(NowMs + 3 * DayMs).Ambient);
        Assert.Equal((0, 21, 2.5), (point.AtHours, point.TemperatureCelsius, point.Doubt));
        Assert.Equal(air.From(NowMs + 3 * DayMs), air.From(NowMs + 77 * DayMs + 5 * HourMs));
    }

    // A room that swings about 19 °C, alike on seven days: it swings on for a week, then its mean holds.
    [Fact]
    public void From_DayThatRepeats_SwingsForAWeekAndIsLevelThen()
    {
        var air = SeasonAir.Of(Stay(Swinging(), null), SeasonEndMs, []);
        Assert.Equal((18, 20), (air.From(NowMs).Ambient.Min(point => point.TemperatureCelsius), air.From(NowMs).Ambient.Max(point => point.TemperatureCelsius)));
        Assert.Equal(19, Assert.Single(air.From(NowMs + 8 * DayMs).Ambient).TemperatureCelsius);
        Assert.Equal(air.From(NowMs + 8 * DayMs), air.From(NowMs + 31 * DayMs));
    }

    [Fact]
    public void From_AWeekAfterTheReadings_IsAsPlanned()
    {
        var air = SeasonAir.Of(Stay(Swinging(), 22), SeasonEndMs, []);
        Assert.True(air.From(NowMs + DayMs).Ambient.Count > 1);
        Assert.Equal(22, Assert.Single(air.From(NowMs + 8 * DayMs).Ambient).TemperatureCelsius);
    }

    [Fact]
    public void From_ColdSnap_IsColderWhileItLasts()
    {
        AirOffset snap = new("site", -5, NowMs + 40 * DayMs, NowMs + 42 * DayMs);
        var (air, usual) = (SeasonAir.Of(Stay([], 20), SeasonEndMs, [snap]), SeasonAir.Of(Stay([], 20), SeasonEndMs, []));
        // Poured a day before the snap: 20 °C for 24 h, over an hour down to 15, up again after 72 h.
        Assert.Equal(
            [(0, 20), (24, 20), (25, 15), (72, 15), (73, 20), (336, 20)],
            air.From(NowMs + 39 * DayMs).Ambient.Select(point => (Math.Round(point.AtHours, 6), point.TemperatureCelsius)));
        Assert.Equal(usual.From(NowMs), air.From(NowMs + 42 * DayMs + HourMs));
        Assert.Equal(usual.From(NowMs), air.From(NowMs + 20 * DayMs));
    }

    private static BenchStay Stay(IReadOnlyList<ReadingRecord> readings, double? plannedCelsius) => new()
    {
        FromMs = NowMs, Readings = readings, IntervalMs = HourMs, PlannedCelsius = plannedCelsius,
    };

    private static List<ReadingRecord> Swinging() =>
    [
        .. Enumerable.Range(0, 7 * 24 + 1).Select(hour => new ReadingRecord
        {
            ReadingMs = NowMs - 7 * DayMs + hour * HourMs, TemperatureCelsius = 19 + Math.Sin(2 * Math.PI * hour / 24),
        }),
    ];
}
