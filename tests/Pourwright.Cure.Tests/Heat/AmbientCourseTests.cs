using Pourwright.Cure.Heat;

namespace Pourwright.Cure.Tests.Heat;

/// <summary>Air over time, and what may be left out of it.</summary>
public class AmbientCourseTests
{
    private static readonly AmbientCourse Warming = new([(0, 290), (3600, 292), (7200, 288)]);

    // Level before the first point and after the last; halfway up 291, halfway down (292 + 288)/2 = 290.
    [Theory]
    [InlineData(-100, 290)]
    [InlineData(0, 290)]
    [InlineData(1800, 291)]
    [InlineData(3600, 292)]
    [InlineData(5400, 290)]
    [InlineData(9000, 288)]
    public void Kelvin_BetweenPoints_LiesOnTheStraightLine(double seconds, double kelvin)
    {
        Assert.Equal(kelvin, Warming.Kelvin(seconds), 1e-9);
    }

    // The clock of a piece may stand anywhere: a month later the same day has the same bends, and as many steps end on them.
    [Fact]
    public void Bends_OfTheSameDayAMonthLater_AreAsMany()
    {
        Assert.Equal(StepsOfADay(0), StepsOfADay(30 * 24 * 3600));
    }

    private static long StepsOfADay(double startSeconds)
    {
        var minutes = Enumerable.Range(0, 1441)
            .Select(i => (startSeconds + i * 60.0, 293.15 + 4 * Math.Sin(2 * Math.PI * i / 1440)));
        var solver = new CureSolver();
        var inert = Slab.Of(new(0.01, 8, new(1100, 1850, 0.2)), 293.15);
        solver.Run(inert, new(new AmbientCourse(minutes, withinKelvin: 0.2), 4, 9), startSeconds, startSeconds + 24 * 3600);
        return solver.StepsAccepted;
    }
}
