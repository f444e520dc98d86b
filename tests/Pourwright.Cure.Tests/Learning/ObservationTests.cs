using Pourwright.Cure.Learning;

namespace Pourwright.Cure.Tests.Learning;

/// <summary>Likelihoods against their closed forms: runs are written down, nothing is solved.</summary>
public class ObservationTests
{
    private static readonly EvidenceScales Exact = new() { LapseShare = 0 };

    private static ObservedRun Run(double z = 0, double surfaceCelsius = 20, double demoldHours = 47) =>
        new([new(30, z, z, surfaceCelsius, double.NaN, double.NaN)], 36, 43, 18, demoldHours, demoldHours * 1.5);

    // z = −2 K: P(tacky) = Φ((−18 + 2)/4) = Φ(−4), P(firm) = 1 − Φ((0 + 2)/4) = Φ(−½) = 0.308538.
    [Fact]
    public void Touch_TwoKelvinBeforeTheGlass_IsSoftTwoTimesInThree()
    {
        Assert.Equal(3.1671e-5, new TouchSeen(30, Touch.Tacky).Likelihood(Run(-2), Exact), 1e-9);
        Assert.Equal(0.308538, new TouchSeen(30, Touch.Firm).Likelihood(Run(-2), Exact), 1e-6);
        Assert.Equal(1 - 0.308538 - 3.1671e-5, new TouchSeen(30, Touch.Soft).Likelihood(Run(-2), Exact), 1e-6);
    }

    [Theory]
    [InlineData(-40)]
    [InlineData(-18)]
    [InlineData(-9)]
    [InlineData(0)]
    [InlineData(12)]
    public void Touches_OfOneInstant_SumToOne(double z)
    {
        double Sum(EvidenceScales scales) => Enum.GetValues<Touch>().Sum(t => new TouchSeen(30, t).Likelihood(Run(z), scales));
        Assert.Equal(1, Sum(Exact), 1e-12);
        Assert.Equal(1, Sum(new()), 1e-12);
    }

    // Three looks make four stories: open at the first, between two, between the next two, not at the last.
    [Theory]
    [InlineData(10)]
    [InlineData(47)]
    [InlineData(300)]
    [InlineData(double.PositiveInfinity)]
    public void Stories_OfThreeLooks_SumToOne(double demoldHours)
    {
        GateSeen[] stories =
        [
            new(CureGate.Demold, null, 24), new(CureGate.Demold, 24, 48), new(CureGate.Demold, 48, 72), new(CureGate.Demold, 72, null),
        ];
        Assert.Equal(1, stories.Sum(s => s.Likelihood(Run(demoldHours: demoldHours), Exact)), 1e-12);
    }

    // Gate at 40 h, looks one spread before and after it: Φ(1) − Φ(−1) = 0.682689.
    [Fact]
    public void Interval_OfOneSpreadEitherSide_IsTwoThirds()
    {
        var spread = Math.Exp(Exact.ReadyLnSd);
        var seen = new GateSeen(CureGate.Demold, 40 / spread, 40 * spread);
        Assert.Equal(0.682689, seen.Likelihood(Run(demoldHours: 40), Exact), 1e-6);
    }

    [Fact]
    public void Gate_SeenAsTheOneAsked_IsThatOfTheRun()
    {
        double Half(CureGate gate, double at) => new GateSeen(gate, null, at).Likelihood(Run(), Exact);
        Assert.Equal(0.5, Half(CureGate.Gel, 18), 1e-12);
        Assert.Equal(0.5, Half(CureGate.Demold, 47), 1e-12);
        Assert.Equal(0.5, Half(CureGate.Handle, 70.5), 1e-12);
    }

    // Ready at the first look speaks for quick runs, never seen ready for slow ones, the more so the quicker or slower.
    [Fact]
    public void CensoredLooks_AlongTheGate_AreMonotone()
    {
        double[] gates = [20, 30, 40, 50, 60, 90];
        double[] left = [.. gates.Select(g => new GateSeen(CureGate.Demold, null, 45).Likelihood(Run(demoldHours: g), Exact))];
        double[] right = [.. gates.Select(g => new GateSeen(CureGate.Demold, 45, null).Likelihood(Run(demoldHours: g), Exact))];
        Assert.Equal(left.OrderDescending(), left);
        Assert.Equal(right.Order(), right);
        Assert.All(left.Zip(right), pair => Assert.Equal(1, pair.First + pair.Second, 1e-12));
    }

    // At z = 0 the mean is 80 Φ(0) = 40 D: a reading of 44, one spread off, has density φ(1)/4 = 0.241971/4.
    [Fact]
    public void ShoreD_AtTheGlass_IsHalfOfTheFinalOne()
    {
        Assert.Equal(40, Exact.ShoreD(0), 1e-12);
        Assert.Equal(0.241971 / 4, new ShoreSeen(30, 44).Likelihood(Run(), Exact), 1e-6);
    }

    [Fact]
    public void ShoreD_BelowItsScale_SpeaksForSoftSurfaces()
    {
        double[] margins = [-30, -15, -9, 0, 10];
        double[] likelihoods = [.. margins.Select(z => new ShoreBelowScale(30).Likelihood(Run(z), Exact))];
        Assert.Equal(likelihoods.OrderDescending(), likelihoods);

        // 80 Φ(z/12) = 20 D at z = 12 · (−0.674490) K: half of such surfaces read below 20.
        Assert.Equal(0.5, new ShoreBelowScale(30).Likelihood(Run(12 * -0.674489750), Exact), 1e-6);
    }

    // The spread is √(1.5² + 3²) = 3.354 K; one spread off, φ(1)/3.354 = 0.072144.
    [Fact]
    public void SurfaceTemperatures_AreNormalAboutTheRun()
    {
        Assert.Equal(0.241971 / 3.354, new SurfaceMaximum(36 + 3.354).Likelihood(Run(), Exact), 1e-6);
        Assert.Equal(0.241971 / 3.354, new SurfaceSeen(30, 28 - 3.354).Likelihood(Run(surfaceCelsius: 28), Exact), 1e-6);
    }

    // Some time it was 36 °C warm: half of the runs that reach just that say so, all that became much hotter.
    [Fact]
    public void Surface_ReachedAtNoNotedTime_SpeaksAgainstCoolRunsAlone()
    {
        double Likelihood(double maximum) => new SurfaceReached(36).Likelihood(Run() with { SurfaceMaximumCelsius = maximum }, Exact);
        Assert.Equal(0.5, Likelihood(36), 1e-12);
        Assert.Equal(1, Likelihood(60), 1e-9);
        Assert.Equal(0, Likelihood(15), 1e-9);
    }

    // An impossible touch still has a third of the share of lapses: 0.01/3.
    [Fact]
    public void Touch_ThatCannotBe_IsALapse()
    {
        Assert.Equal(0, new TouchSeen(30, Touch.Firm).Likelihood(Run(-200), Exact));
        Assert.Equal(0.01 / 3, new TouchSeen(30, Touch.Firm).Likelihood(Run(-200), new()), 1e-12);
    }

    [Fact]
    public void Run_NotLookedAtThen_SaysSo() =>
        Assert.Contains("31", Assert.Throws<ArgumentException>(() => new TouchSeen(31, Touch.Firm).Likelihood(Run(), Exact)).Message);
}
