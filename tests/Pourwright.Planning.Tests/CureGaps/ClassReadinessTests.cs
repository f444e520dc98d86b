using Pourwright.Planning.CureGaps;

namespace Pourwright.Planning.Tests.CureGaps;

public class ClassReadinessTests
{
    private static readonly ClassReadiness One = new([new(1, 48, 0.2)]);

    // z = Φ⁻¹(0.95^(1/N)): 1.6449 for one piece (the usual table), 2.4898 for eight, as 0.95^(1/8) = 0.993609.
    // 48 h · exp(0.2 · 1.6449) = 66.70 h, 48 h · exp(0.2 · 2.4898) = 78.98 h, each up to the next quarter.
    [Theory]
    [InlineData(1, 1.6449, 66.75)]
    [InlineData(8, 2.4898, 79.0)]
    public void LeastHours_OfOneScenario_IsTheQuantileOfTheSlowestPiece(int pieces, double z, double hours)
    {
        Assert.Equal(0.95, One.ChanceAllReady(pieces, 48 * Math.Exp(0.2 * z)), 2e-5);
        Assert.Equal(hours, One.LeastHours(pieces, 0.95));
    }

    [Fact]
    public void LeastHours_AQuarterEarlier_IsTooEarly()
    {
        var least = Spread(1).LeastHours(8, 0.95)!.Value;
        Assert.True(Spread(1).ChanceAllReady(8, least) >= 0.95);
        Assert.True(Spread(1).ChanceAllReady(8, least - ClassReadiness.StepHours) < 0.95);
    }

    // Half of a normal distribution lies below its middle: ½ᴺ at the nominal time of one scenario.
    [Fact]
    public void ChanceAllReady_AtTheNominalTime_IsHalfToThePowerOfPieces() =>
        Assert.Equal(1.0 / 256, One.ChanceAllReady(8, 48), 1e-12);

    [Theory]
    [InlineData(1)]
    [InlineData(4)]
    [InlineData(8)]
    [InlineData(16)]
    public void ChanceAllReady_AgainstDrawnPieces_AgreesWithinThreeThousandths(int pieces)
    {
        var scenarios = DrawnPieces.Scenarios(pieces);
        var least = new ClassReadiness(scenarios).LeastHours(pieces, 0.95)!.Value;
        // 200,000 draws at 0.95 have a standard error of √(0.95 · 0.05/200000) = 0.0005, a sixth of the bar.
        Assert.Equal(DrawnPieces.ShareAllReady(scenarios, pieces, least), new ClassReadiness(scenarios).ChanceAllReady(pieces, least), 0.003);
    }

    // Pieces that move as one need the quantile of one, pieces of which nothing is known the quantile of 1 − 0.05/N (Bonferroni).
    [Fact]
    public void LeastHours_LiesBetweenComonotoneAndBonferroni()
    {
        for (var seed = 0; seed < 100; seed++)
        {
            var (room, pieces) = (Spread(seed), 2 + seed % 15);
            Assert.InRange(
                room.LeastHours(pieces, 0.95)!.Value,
                room.LeastHours(1, 0.95)!.Value, room.LeastHours(1, 1 - 0.05 / pieces)!.Value);
        }
    }

    [Fact]
    public void LeastHours_OfMorePieces_IsLonger()
    {
        int[] pieces = [1, 4, 8, 16];
        double[] hours = [.. pieces.Select(n => Spread(3).LeastHours(n, 0.95)!.Value)];
        Assert.Equal(hours.Order(), hours);
        Assert.Equal(4, hours.Distinct().Count());
    }

    [Fact]
    public void OnePiecesSafeTime_ForEightPieces_FallsShort()
    {
        for (var seed = 0; seed < 100; seed++)
            Assert.True(Spread(seed).ChanceAllReady(8, Spread(seed).LeastHours(1, 0.95)!.Value) < 0.93);
    }

    // 4 % never ready leaves 0.96 to be reached, 6 % leaves 0.94.
    [Theory]
    [InlineData(4, true)]
    [InlineData(6, false)]
    public void LeastHours_WhereSomeNeverHarden_IsKnownOnlyBelowTheirShare(double neverPercent, bool known) => Assert.Equal(
        known, new ClassReadiness([new(100 - neverPercent, 48, 0.2), new(neverPercent, double.PositiveInfinity, 0.2)])
            .LeastHours(8, 0.95).HasValue);

    // Without spread the class is ready in the slower of two scenarios: 0.9 is reached at 40 h, 0.95 at 60 h only.
    [Theory]
    [InlineData(0.9, 40)]
    [InlineData(0.95, 60)]
    public void LeastHours_WithoutSpread_IsTheTimeOfAScenario(double chance, double hours) =>
        Assert.Equal(hours, new ClassReadiness([new(9, 40, 0), new(1, 60, 0)]).LeastHours(8, chance));

    [Fact]
    public void LeastHours_BeyondAYear_CountsAsNever() => Assert.Null(new ClassReadiness([new(1, 9000, 0)]).LeastHours(1, 0.5));

    [Theory]
    [InlineData(0, 48, 0.2)]
    [InlineData(1, 0, 0.2)]
    [InlineData(1, double.NaN, 0.2)]
    [InlineData(1, 48, -0.1)]
    [InlineData(1, 48, double.NaN)]
    public void Scenario_ThatCannotBe_IsRefused(double weight, double hours, double lnSd) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => new ReadyScenario(weight, hours, lnSd));

    [Theory]
    [InlineData(0, 0.95)]
    [InlineData(1, 0)]
    [InlineData(1, 1)]
    public void LeastHours_OfNoPieceOrACertainty_IsRefused(int pieces, double chance) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => One.LeastHours(pieces, chance));

    private static ClassReadiness Spread(int seed) => new(DrawnPieces.Scenarios(seed));
}
