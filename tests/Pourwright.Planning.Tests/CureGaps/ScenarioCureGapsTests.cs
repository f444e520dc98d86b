using System.Collections.Concurrent;
using Pourwright.Planning.CureGaps;

namespace Pourwright.Planning.Tests.CureGaps;

public class ScenarioCureGapsTests
{
    private readonly ConcurrentBag<(int Offering, int Celsius)> asked = [];

    // The heated site 0 is 21 °C in every slot, site 1 a degree warmer each day; 40 h at 20 °C, a tenth less a degree.
    private ScenarioCureGaps<(int Offering, int Celsius)> Gaps => new(
        (offering, site, slot) => (offering, site == 0 ? 21 : 15 + slot / 2),
        course =>
        {
            asked.Add(course);
            return [new(1, 40 * Math.Pow(0.9, course.Celsius - 20), 0.1)];
        },
        0.95);

    [Fact]
    public void LeastHours_InARoomOfOneTemperature_SolvesItOnce()
    {
        var gaps = Gaps;
        var hours = Enumerable.Range(0, 100).Select(slot => gaps.LeastHours(0, 0, slot, 8)).Distinct();
        Assert.Single(hours);
        Assert.Single(asked);
    }

    [Fact]
    public void LeastHours_InARoomThatFollowsTheWeather_IsShorterInWarmerDays()
    {
        var gaps = Gaps;
        Assert.True(gaps.LeastHours(0, 1, 0, 8) > gaps.LeastHours(0, 1, 20, 8));
        Assert.Equal([(0, 15), (0, 25)], asked.Order());
    }

    [Fact]
    public void LeastHours_OfOtherNumbersOfPieces_SolvesTheRoomOnce()
    {
        var gaps = Gaps;
        Assert.True(gaps.LeastHours(0, 0, 0, 4) < gaps.LeastHours(0, 0, 0, 16));
        Assert.Single(asked);
    }

    [Fact]
    public void ChanceAllReady_AtTheLeastHours_IsThatAskedFor()
    {
        var gaps = Gaps;
        var least = gaps.LeastHours(1, 1, 9, 6)!.Value;
        Assert.InRange(gaps.ChanceAllReady(1, 1, 9, 6, least), 0.95, 0.96);
    }

    [Fact]
    public void LeastHours_AskedFromManyThreads_SolvesEachCourseOnce()
    {
        var gaps = Gaps;
        Parallel.For(0, 2000, i => gaps.LeastHours(0, 1, i % 20, 1 + i % 3));
        Assert.Equal(Enumerable.Range(15, 10).Select(celsius => (0, celsius)), asked.Order());
    }
}
