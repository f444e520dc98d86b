using Pourwright.Cure.Climate;

namespace Pourwright.Cure.Tests.Climate;

public class AirDoubtTests
{
    // Common practice, no source: 1 K at 6 h, 2.5 K at 48 h.
    [Fact]
    public void Default_PassesThroughOneKelvinAtSixHoursAndTwoAndAHalfAtTwoDays()
    {
        Assert.Equal(1, AirDoubt.Default.AfterKelvin(6), 0.001);
        Assert.Equal(2.5, AirDoubt.Default.AfterKelvin(48), 0.001);
    }

    // Hour by hour x → a x + e with a = e^(−1/τ) and Var e = σ² (1 − a²): Var x_n = σ² (1 − a²)(1 + a² + … + a^(2(n−1))) = σ² (1 − a^(2n)).
    [Theory]
    [InlineData(1)]
    [InlineData(7)]
    [InlineData(100)]
    public void After_IsTheVarianceOfHourlySteps(int hours)
    {
        var (doubt, a) = (new AirDoubt(2, 12), Math.Exp(-1.0 / 12));
        var variance = Enumerable.Range(0, hours).Aggregate(0.0, (v, _) => a * a * v + 4 * (1 - a * a));
        Assert.Equal(Math.Sqrt(variance), doubt.AfterKelvin(hours), 1e-9);
    }

    // Soon it is a random walk of 2σ²/τ a hour: √(2 · 4/50 · 0.1) = 0.1265. In the end it is σ.
    [Theory]
    [InlineData(0, 0)]
    [InlineData(0.1, 0.1265)]
    [InlineData(1000, 2)]
    public void After_GrowsAsAWalkAndComesToRest(double hours, double kelvin) =>
        Assert.Equal(kelvin, new AirDoubt(2, 50).AfterKelvin(hours), 0.0002);

    // Known at both ends, the variance in between is Var a · Var b / Var (a + b), the formula of two normals: with x(a) given x(a + b)
    // = y, Var x(a) − Cov²/Var y, Cov = Var x(a) · e^(−b/τ).
    [Theory]
    [InlineData(1, 1)]
    [InlineData(2, 10)]
    [InlineData(300, 200)]
    public void Between_IsTheConditionalVariance(double since, double until)
    {
        var doubt = new AirDoubt(2, 12);
        double Variance(double hours) => 4 * (1 - Math.Exp(-2 * hours / 12));
        var covariance = Variance(since) * Math.Exp(-until / 12);
        Assert.Equal(
            Math.Sqrt(Variance(since) - covariance * covariance / Variance(since + until)), doubt.BetweenKelvin(since, until), 1e-9);
    }

    [Fact]
    public void Between_IsNothingAtTheEndsAndWidestInTheMiddle()
    {
        var doubt = AirDoubt.Default;
        Assert.Equal([0, 0, 0], [doubt.BetweenKelvin(0, 10), doubt.BetweenKelvin(10, 0), doubt.BetweenKelvin(0, 0)]);
        Assert.True(doubt.BetweenKelvin(5, 5) > doubt.BetweenKelvin(3, 7) && doubt.BetweenKelvin(3, 7) > doubt.BetweenKelvin(1, 9));
        Assert.True(doubt.BetweenKelvin(5, 5) < doubt.AfterKelvin(5));
    }

    [Fact]
    public void Of_NoErrors_IsTheDefault() => Assert.Equal(AirDoubt.Default, AirDoubt.Of([new(6, 0, 0)]));

    // Errors that are just as believed change nothing, however many.
    [Fact]
    public void Of_ErrorsAsBelieved_StaysTheDefault()
    {
        var doubt = AirDoubt.Of(Leads(AirDoubt.Default, 7));
        Assert.Equal(AirDoubt.Default.TauHours, doubt.TauHours, 0.1);
        Assert.Equal(AirDoubt.Default.SdKelvin, doubt.SdKelvin, 0.001);
    }

    // A thousand days of another room outweigh the two that are believed: σ and τ come back within 2 %.
    [Theory]
    [InlineData(0.8, 9)]
    [InlineData(3, 40)]
    public void Of_ManyDaysOfAnotherRoom_IsThatRoom(double sdKelvin, double tauHours)
    {
        var doubt = AirDoubt.Of(Leads(new(sdKelvin, tauHours), 1000));
        Assert.Equal(tauHours, doubt.TauHours, 0.02 * tauHours);
        Assert.Equal(sdKelvin, doubt.SdKelvin, 0.02 * sdKelvin);
    }

    // A room that did not move: surer with every day, never certain. Of w = days + 2 pooled days each mean square is 2/w of the
    // believed one: σ falls as √(2/w), to half after 6 days, and τ stays.
    [Theory]
    [InlineData(0.001, 1)]
    [InlineData(2, 0.7071)]
    [InlineData(6, 0.5)]
    public void Of_AStillRoom_GrowsSurerWithTheDays(double days, double share)
    {
        var doubt = AirDoubt.Of(AirDoubt.LeadsHours.Select(lead => new LeadError(lead, 0, days)));
        Assert.Equal(share * 2.5, doubt.AfterKelvin(48), 0.002);
        Assert.Equal(share, doubt.AfterKelvin(6), 0.002);
    }

    // Three hours in which nothing moved say something of the next hours and next to nothing of the day after tomorrow.
    [Fact]
    public void Of_AShortStillness_LeavesLongLeadsAsTheyWere()
    {
        var doubt = AirDoubt.Of(AirDoubt.LeadsHours.Select(lead => new LeadError(lead, 0, lead <= 3 ? 0.125 : 0)));
        Assert.InRange(doubt.AfterKelvin(6), 0.9, 1);
        Assert.InRange(doubt.AfterKelvin(48), 2.4, 2.6);
    }

    private static IEnumerable<LeadError> Leads(AirDoubt doubt, double days) =>
        AirDoubt.LeadsHours.Select(lead => new LeadError(lead, Math.Pow(doubt.AfterKelvin(lead), 2), days));
}
