using System.Globalization;
using Pourwright.Cure.Kinetics;
using Pourwright.Cure.Tests.Reference;

namespace Pourwright.Cure.Tests.Kinetics;

public class RateLawTests
{
    private static readonly DiBenedetto Glass = new(233.15, 325.15, 0.42);

    public static IEnumerable<object[]> Limits =>
        from diffusion in new DiffusionControl[]
        {
            new NoDiffusionControl(), new Rabinowitch(20, 0, 0.25), new Rabinowitch(2e5, 20e3, 0.25),
            new ChernPoehlein(30, -0.5965, 0.0050),
        }
        from conversion in (double[])[0.02, 0.3, 0.7, 0.93]
        from kelvin in (double[])[288.15, 300, 340]
        select new object[] { diffusion, conversion, kelvin };

    // k30/k20 = exp(−E/R (1/303.15 − 1/293.15)); for 50 kJ/mol exp(6013.6 · 1.12525e-4) = 1.96735.
    [Fact]
    public void RateRatio_From20To30Celsius_IsThatOfArrhenius()
    {
        var expected = ReferenceFiles.Json("cure/analytic.json").GetProperty("arrhenius_factor_20_to_30C");
        var factors = expected.EnumerateObject().ToArray();
        Assert.Equal(6, factors.Length);
        Assert.All(factors, factor => Assert.Equal(
            factor.Value.GetDouble(),
            KamalSourour.RateRatio(1000 * double.Parse(factor.Name, CultureInfo.InvariantCulture), 293.15, 303.15), 1e-9));
    }

    // At T_ref and α = ½ without diffusion: (6e-6 + 2.6e-5 · 0.5^0.9)(0.5)^1.4 = 1.9933e-5 · 0.378929 = 7.5532e-6 1/s.
    [Fact]
    public void Rate_AtTheReferenceTemperature_IsTheBracketTimesTheUnreacted()
    {
        var reaction = new CureReaction(new(6e-6, 2.6e-5, 50e3, 46e3, 0.9, 1.4), new NoDiffusionControl(), Glass);
        Assert.Equal((6e-6 + 2.6e-5 * Math.Pow(0.5, 0.9)) * Math.Pow(0.5, 1.4), reaction.RatePerSecond(0.5, 298.15), 1e-18);
        Assert.Equal(7.5532e-6, reaction.RatePerSecond(0.5, 298.15), 1e-9);
    }

    // T = Tg: f = 0.025, k_d = 20 e^(−10) = 9.08e-4 1/s, far above the chemistry of 2.6e-5: the glass hardly slows it yet.
    // 30 K below: f = 0.0106, k_d = 20 e^(−23.58) = 1.14e-9 1/s: it stops it.
    [Fact]
    public void Rabinowitch_FromTgTo30KBelow_GoesFromFreeToStopped()
    {
        var free = new CureReaction(new(6e-6, 2.6e-5, 0, 0, 1, 1.7), new NoDiffusionControl(), Glass);
        var slowed = free with { Diffusion = new Rabinowitch(20, 0, 0.25) };
        var tg = Glass.Kelvin(0.8);
        Assert.InRange(slowed.RatePerSecond(0.8, tg) / free.RatePerSecond(0.8, tg), 0.95, 1);
        var share = 20 * Math.Exp(-0.25 / 0.0106) / (6e-6 + 2.6e-5 * 0.8);
        Assert.Equal(share / (1 + share), slowed.RatePerSecond(0.8, tg - 30) / free.RatePerSecond(0.8, tg - 30), 1e-9);
    }

    // At α = α_c the factor is 1/(1 + e⁰) = ½. α_c(300 K) = −0.5965 + 0.0050 · 300 = 0.9035.
    [Fact]
    public void ChernPoehlein_AtItsCriticalConversion_HalvesTheRate()
    {
        var free = new CureReaction(new(6e-6, 2.6e-5, 50e3, 46e3, 0.9, 1.4), new NoDiffusionControl(), Glass);
        var slowed = free with { Diffusion = new ChernPoehlein(30, -0.5965, 0.0050) };
        Assert.Equal(0.5, slowed.RatePerSecond(0.9035, 300) / free.RatePerSecond(0.9035, 300), 1e-9);
    }

    [Theory]
    [MemberData(nameof(Limits))]
    public void Slopes_OfEveryLaw_AreItsDifferences(DiffusionControl diffusion, double conversion, double kelvin)
    {
        var reaction = new CureReaction(new(6e-6, 2.6e-5, 50e3, 46e3, 0.9, 1.7), diffusion, Glass);
        var (rate, perKelvin, perConversion) = reaction.RateWithSlopes(conversion, kelvin);
        double R(double a, double t) => reaction.RatePerSecond(a, t);
        Assert.Equal(R(conversion, kelvin), rate, 1e-12 * rate);
        var byKelvin = (R(conversion, kelvin + 1e-3) - R(conversion, kelvin - 1e-3)) / 2e-3;
        var byConversion = (R(conversion + 1e-6, kelvin) - R(conversion - 1e-6, kelvin)) / 2e-6;
        Assert.Equal(byKelvin, perKelvin, 1e-6 * Math.Abs(byKelvin) + 1e-15);
        Assert.Equal(byConversion, perConversion, 1e-6 * Math.Abs(byConversion) + 1e-13);
    }

    [Theory]
    [InlineData(0, 0)]
    [InlineData(1, 0)]
    [InlineData(1.0000001, 0)]
    [InlineData(-1e-9, 0)]
    public void Rate_AtAndBeyondTheEnds_IsFiniteAndNotNegative(double conversion, double least)
    {
        var reaction = new CureReaction(new(0, 2.6e-5, 50e3, 46e3, 0.5, 0.8), new Rabinowitch(20, 0, 0.25), Glass);
        var (rate, perKelvin, perConversion) = reaction.RateWithSlopes(conversion, 300);
        Assert.True(rate >= least && double.IsFinite(rate) && double.IsFinite(perKelvin) && double.IsFinite(perConversion));
    }

    // Tg(0) = Tg0, Tg(1) = Tg∞; at α = ½: 233.15 + 92 · 0.21/(1 − 0.29) = 233.15 + 27.211 = 260.361 K.
    [Theory]
    [InlineData(0, 233.15)]
    [InlineData(0.5, 260.3612676)]
    [InlineData(1, 325.15)]
    public void GlassTransition_OfAConversion_FollowsDiBenedetto(double conversion, double kelvin)
    {
        Assert.Equal(kelvin, Glass.Kelvin(conversion), 1e-6);
        Assert.Equal(conversion, Glass.Conversion(kelvin), 1e-8);
    }

    // At α = 0.95 Tg = 312.7 K: at 240 and 250 K the free volume is at its floor, e^(−b/f) is the same, the chemistry is far
    // faster than diffusion, and what is left of the ratio is that of Arrhenius with E_d.
    [Fact]
    public void Rabinowitch_DeepInTheGlass_GrowsWithTemperatureAsItsOwnEnergySays()
    {
        var diffusion = new Rabinowitch(2e5, 30e3, 0.25, LeastFreeVolume: 0.005);
        var law = new CureReaction(new(6e-6, 2.6e-5, 50e3, 46e3, 1, 1.7), diffusion, Glass);
        var ratio = law.RatePerSecond(0.95, 250) / law.RatePerSecond(0.95, 240);
        Assert.Equal(KamalSourour.RateRatio(30e3, 240, 250), ratio, 1e-6);
    }

    // 1/√(1 · 1 · 3) = 0.57735; with a tenth too little of one part 1/√2.7 = 0.60858.
    [Fact]
    public void GelPoint_OfADiepoxideAndADiamine_IsThatOfFloryAndStockmayer()
    {
        var expected = ReferenceFiles.Json("cure/analytic.json");
        Assert.Equal(expected.GetProperty("gel_alpha_f2_f4_stoich").GetDouble(), GelPoint.DiepoxideDiamine, 1e-12);
        Assert.Equal(expected.GetProperty("gel_alpha_r").GetProperty("0.9").GetDouble(), GelPoint.Conversion(2, 4, 0.9), 1e-12);
    }
}
