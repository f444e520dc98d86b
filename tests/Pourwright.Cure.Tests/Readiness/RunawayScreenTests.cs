using Pourwright.Cure.Ladder;
using Pourwright.Cure.Readiness;

namespace Pourwright.Cure.Tests.Readiness;

public class RunawayScreenTests
{
    // Peaks computed on a coarse grid by another program for these resins, base 4 and top 9 W/(m² K), pour and room alike.
    // The classes must sort them: above 0.45 over 80 °C, below 0.30 a rise of about 10 K at most.
    public static IEnumerable<object[]> Runs =>
    [
        ["deep", 10, 20, 21.8], ["deep", 20, 20, 24.7], ["deep", 30, 20, 30.1], ["deep", 40, 20, 43.2], ["deep", 50, 20, 81.6],
        ["deep", 60, 20, 119], ["deep", 40, 15, 25.7], ["deep", 40, 18, 34.4], ["deep", 40, 22, 56.4], ["deep", 40, 25, 86.4],
        ["deep", 40, 30, 129.8], ["fast", 3, 20, 22.4], ["fast", 6, 20, 26.5], ["fast", 10, 20, 43.6], ["fast", 12, 20, 82],
        ["fast", 15, 20, 137], ["fast", 20, 20, 168], ["fast", 40, 20, 200],
    ];

    [Theory]
    [MemberData(nameof(Runs))]
    public void Class_OfEveryComputedRun_FitsItsPeak(string resin, double depthMm, double celsius, double peakCelsius)
    {
        var risk = RunawayScreen.Risk(RunawayScreen.Psi(Resin(resin), depthMm / 1000, celsius + 273.15, 13));
        Assert.Equal(peakCelsius > 80, risk == RunawayRisk.Runaway);
        Assert.Equal(peakCelsius < celsius + 11, risk == RunawayRisk.Mild);
    }

    [Theory]
    [MemberData(nameof(Runs))]
    public void Peak_OfEveryComputedRun_IsFoundAgain(string resin, double depthMm, double celsius, double peakCelsius)
    {
        var piece = Pieces.Of(Resin(resin), depthMm, celsius) with { BoardThicknessMm = 0, HorizonHours = 60 };
        var peak = LadderForecaster.Forecast(piece, Pieces.NoSpread).Peak.LikelyCelsius;
        Assert.Equal(peakCelsius, peak, 0.01 * peakCelsius);
    }

    // ψ is proportional to depth and to 1/h; k1 = 0 and n = 1, m = 1 put r_max = k2/4 at α = ½.
    // 1100 · 310e3 · 0.04 · (2.6e-5/4) · 46e3/(13 · 8.314463 · 298.15²) = 88.66 · 46e3/(13 · 739 093) = 0.42447.
    [Fact]
    public void Psi_OfALawWithAKnownMaximum_IsTheFormula()
    {
        var deep = ResinCureModel.DeepCasting;
        var plain = deep with
        {
            Reaction = deep.Reaction with
            {
                Chemistry = new(0, 2.6e-5, 50e3, 46e3, 1, 1), Diffusion = new Pourwright.Cure.Kinetics.NoDiffusionControl(),
            },
        };
        Assert.Equal(0.42447, RunawayScreen.Psi(plain, 0.04, 298.15, 13), 1e-4);
        Assert.Equal(2 * 0.42447, RunawayScreen.Psi(plain, 0.08, 298.15, 13), 1e-4);
        Assert.Equal(0.42447, RunawayScreen.Psi(plain, 0.08, 298.15, 26), 1e-4);
    }

    [Theory]
    [InlineData(0.2999, RunawayRisk.Mild)]
    [InlineData(0.30, RunawayRisk.Caution)]
    [InlineData(0.45, RunawayRisk.Caution)]
    [InlineData(0.4501, RunawayRisk.Runaway)]
    public void Risk_AtItsEdges_TakesTheStatedClass(double psi, RunawayRisk risk)
    {
        Assert.Equal(risk, RunawayScreen.Risk(psi));
    }

    // Poured two hours apart two layers heat as one; two days apart each stands alone.
    [Fact]
    public void Margin_OfTwoPours_CountsYoungResinBelow()
    {
        double Psi(double secondAtHours) => LadderForecaster.Forecast(
            Pieces.Deep() with { Layers = [Half, Half with { AtHours = secondAtHours }] },
            Pieces.NoSpread).Peak.RunawayMargin;
        Assert.Equal(2.0, Psi(2) / Psi(48), 1e-9);
    }

    // A cold mix in a warm room ends as warm as the room: the warmer of the two counts.
    [Fact]
    public void Margin_OfAColdMixInAWarmRoom_IsThatOfTheRoom()
    {
        double Psi(double mix, double room) => LadderForecaster.Forecast(
            Pieces.Deep() with { Layers = [new(0, 40, mix, ResinCureModel.DeepCasting)], Ambient = [new(0, room)] },
            Pieces.NoSpread).Peak.RunawayMargin;
        Assert.Equal(Psi(25, 25), Psi(18, 25));
        Assert.Equal(Psi(25, 25), Psi(25, 18));
    }

    private static PouredLayer Half => Pieces.Deep(20).Layers[0];

    private static ResinCureModel Resin(string name) => name == "deep" ? ResinCureModel.DeepCasting : ResinCureModel.FastCoating;
}
