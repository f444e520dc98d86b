using Pourwright.Studio.Climate;

namespace Pourwright.Studio.Tests.Climate;

/// <summary>Minutes from an instant 0; a logger that reports every 15 minutes, so that anything over 45 is a gap.</summary>
public sealed class ClimateSpansTests
{
    private const long Minute = 60_000;
    private const long Interval = 15 * Minute;

    [Fact]
    public void Mean_UnevenIntervals_WeighsByTime()
    {
        // 0-15 min: (20 + 24)/2 = 22; 15-45 min: (24 + 18)/2 = 21. (22·15 + 21·30)/45 = 960/45 = 21.333; the plain mean is 20.667.
        var span = Over(0, 45, (0, 20), (15, 24), (45, 18));

        Assert.Equal(21.3333, span.MeanTemperatureCelsius!.Value, 4);
        Assert.Empty(span.Gaps);
    }

    [Fact]
    public void Mean_AcrossAGap_LeavesTheGapOut()
    {
        // Covered: 15 minutes at 20 and 30 at 10: (20·15 + 10·30)/45 = 13.333. A line over the 100 minutes between, of mean 15,
        // would make it (300 + 1500 + 300)/145 = 14.483.
        var span = Over(0, 145, (0, 20), (15, 20), (115, 10), (145, 10));

        Assert.Equal(13.3333, span.MeanTemperatureCelsius!.Value, 4);
        Assert.Equal([new ClimateGap(15 * Minute, 115 * Minute)], span.Gaps);
        Assert.Equal(45 * Minute, span.CoveredMs);
    }

    [Theory]
    [InlineData(45, 0)] // Three intervals are late, not lost.
    [InlineData(46, 46)]
    public void Gap_BetweenNeighbours_BeginsOverThreeIntervals(int minutesApart, int gapMinutes) =>
        Assert.Equal(gapMinutes * Minute, Over(0, minutesApart, (0, 20), (minutesApart, 20)).GapMs);

    [Fact]
    public void Gap_AtBothEnds_CountsToTheEndsOfTheSpan()
    {
        // The first reading comes 60 minutes after the start, the last 50 before the end: both over 45.
        var span = Over(0, 125, (60, 20), (75, 20));

        Assert.Equal([new ClimateGap(0, 60 * Minute), new ClimateGap(75 * Minute, 125 * Minute)], span.Gaps);
    }

    [Fact]
    public void Gap_WithAReadingBeforeTheSpan_ReachesBackToItAndIsCutAtTheStart()
    {
        // From -40 to 10 are 50 minutes: a gap, of which 10 lie inside. Without the earlier reading 0 to 10 would be no gap.
        Assert.Equal([new ClimateGap(0, 10 * Minute)], Over(0, 20, (-40, 20), (10, 20), (20, 20)).Gaps);
        Assert.Empty(Over(0, 20, (10, 20), (20, 20)).Gaps);
    }

    [Fact]
    public void Mean_WithAReadingBeforeTheSpan_CutsTheLineAtTheStart()
    {
        // The line from (-10, 10) to (10, 20) stands at 15 at minute 0: (15 + 20)/2 = 17.5 over 0-10, though no reading lies inside.
        var span = Over(0, 10, (-10, 10), (10, 20));

        Assert.Equal(17.5, span.MeanTemperatureCelsius!.Value, 9);
        Assert.Equal(0, span.ReadingCount);
        Assert.Null(span.MinTemperatureCelsius);
    }

    [Fact]
    public void BelowMinimum_LineCrossesTheLimit_CountsThePartBelow()
    {
        // 20 to 12 in 30 minutes meets 15 after (20 − 15)/8 · 30 = 18.75; 11.25 minutes are below. Then 12 to 16 in 15 minutes meets
        // 15 after 3/4 · 15 = 11.25. Together 22.5 minutes.
        var span = Over(0, 45, (0, 20), (30, 12), (45, 16));

        Assert.Equal(22.5 * Minute, span.BelowMinimumMs);
    }

    [Theory]
    [InlineData(14, 30)]
    [InlineData(15, 0)] // At the limit is not below it.
    [InlineData(16, 0)]
    public void BelowMinimum_LevelLine_IsAllOrNothing(double celsius, int minutes) =>
        Assert.Equal(minutes * Minute, Over(0, 30, (0, celsius), (30, celsius)).BelowMinimumMs);

    [Fact]
    public void BelowMinimum_InAGap_IsNotKnownAndNotCounted() =>
        Assert.Equal(15 * Minute, Over(0, 115, (0, 10), (15, 10), (115, 10)).BelowMinimumMs);

    [Fact]
    public void DewPointMargin_WithASurface_TakesTheSurfaceNotTheAir()
    {
        // Air of 20 °C at 50 % has its dew point at 9.26 °C (Magnus form, 17.62 and 243.12 °C). Air: 20 − 9.26 = 10.74.
        // A mould of 12 °C: 12 − 9.26 = 2.74.
        ReadingRecord air = new() { ReadingMs = 0, TemperatureCelsius = 20, RelativeHumidityPercent = 50 };
        var mould = air with { ReadingMs = 15 * Minute, SurfaceTemperatureCelsius = 12 };

        Assert.Equal(10.74, ClimateSpans.Over([air], 0, Minute, Interval).MinDewPointMarginCelsius!.Value, 2);
        Assert.Equal(2.74, ClimateSpans.Over([air, mould], 0, 16 * Minute, Interval).MinDewPointMarginCelsius!.Value, 2);
    }

    [Fact]
    public void Over_WithoutAReading_KnowsNothingButTheGap()
    {
        var span = Over(0, 60);

        Assert.Equal((0, null, null, null), (span.ReadingCount, span.MinTemperatureCelsius, span.MeanTemperatureCelsius, span.MinDewPointMarginCelsius));
        Assert.Equal([new ClimateGap(0, 60 * Minute)], span.Gaps);
    }

    [Fact]
    public void Over_OneReadingInAShortSpan_HasItsValueAndNoGap()
    {
        var span = Over(0, 30, (10, 19.5));

        Assert.Equal((1, 19.5, 19.5), (span.ReadingCount, span.MeanTemperatureCelsius, span.MaxTemperatureCelsius));
        Assert.Empty(span.Gaps);
    }

    [Fact]
    public void Over_TheEnd_IsExclusive() =>
        Assert.Equal(2, Over(0, 30, (0, 20), (15, 20), (30, 25)).ReadingCount);

    private static ClimateSpan Over(double fromMinutes, double toMinutes, params (double Minutes, double Celsius)[] readings) =>
        ClimateSpans.Over(
            [.. readings.Select(r => new ReadingRecord { ReadingMs = (long)(r.Minutes * Minute), TemperatureCelsius = r.Celsius })],
            (long)(fromMinutes * Minute), (long)(toMinutes * Minute), Interval, minTemperatureCelsius: 15);
}
