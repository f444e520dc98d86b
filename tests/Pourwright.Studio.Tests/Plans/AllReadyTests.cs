using Pourwright.Studio.Plans;

namespace Pourwright.Studio.Tests.Plans;

public class AllReadyTests
{
    private const long HourMs = 3_600_000;

    // One piece is its own forecast: half at the likely time, 95 % at the safe one, and symmetrical in the logarithm.
    [Theory]
    [InlineData(80, 0.50)]
    [InlineData(120, 0.95)]
    [InlineData(53.3333, 0.05)]
    public void Chance_OfOnePiece_IsThatOfItsForecast(double hours, double chance) =>
        Assert.Equal(chance, AllReady.Chance([Piece(80, 120)], At(hours)), 0.001);

    // Eight alike: less than one, more than eight unrelated ones (0.95⁸ = 0.663), since most of the doubt is shared.
    [Fact]
    public void Chance_OfEight_LiesBetweenOneAndEightUnrelated() =>
        Assert.InRange(AllReady.Chance([.. Enumerable.Repeat(Piece(80, 120), 8)], At(120)), 0.80, 0.94);

    // All doubt is their own where it is no more than that of a pour: Φ(z)⁸ with z = 1.6449, 0.663. A twentieth is left to share.
    [Fact]
    public void Chance_OfEightThatDifferByThePourAlone_IsNearlyThePower() =>
        Assert.Equal(0.663, AllReady.Chance([.. Enumerable.Repeat(Piece(80, 80 * Math.Exp(0.12 * 1.6449)), 8)], At(80 * Math.Exp(0.12 * 1.6449))), 0.04);

    [Fact]
    public void Chance_OnePieceNeverSafe_IsNone()
    {
        PieceGate[] pieces = [Piece(80, 120), Piece(80, 120) with { SafeMs = null }];
        Assert.Equal(0, AllReady.Chance(pieces, At(1000)));
        Assert.Equal(pieces[1], Assert.Single(AllReady.Late(pieces, At(1000))));
    }

    [Fact]
    public void Chance_BeforeThePour_IsNone() => Assert.Equal(0, AllReady.Chance([Piece(80, 120)], At(-1)));

    private static long At(double hours) => (long)(hours * HourMs);

    private static PieceGate Piece(double likelyHours, double safeHours) => new("studios/s/pieces/one", "1", 0, At(likelyHours), At(safeHours));
}
