using Pourwright.Cure.Ladder;
using Pourwright.Cure.Readiness;

namespace Pourwright.Cure.Tests.Ladder;

public class ReadyTimesTests
{
    private const double PourSd = 0.10;

    // Two runs stand for the spread of a pour; a run in the middle must lie on their line, those at two standard deviations near it.
    [Theory]
    [InlineData("deep", 25, 16, 0.002, 0.01)]
    [InlineData("deep", 25, 20, 0.002, 0.01)]
    [InlineData("deep", 25, 24, 0.002, 0.01)]
    [InlineData("fast", 6, 16, 0.003, 0.01)]
    [InlineData("fast", 6, 20, 0.003, 0.01)]
    [InlineData("fast", 6, 24, 0.003, 0.012)]
    [InlineData("deep", 40, 16, 0.003, 0.01)]
    public void LogOfTheHours_OverTheLogOfTheRate_IsNearlyALine(
        string resin, double depthMm, double celsius, double middleWithin, double endsWithin)
    {
        var piece = Piece(resin, depthMm, celsius);
        var ready = Of(piece, 1);
        double Off(double scores) => Math.Log(HoursAt(piece, scores) / ready.MedianHours) + scores * ready.LnSd;
        Assert.InRange(Off(0), -middleWithin, middleWithin);
        Assert.InRange(Off(-2), -endsWithin, endsWithin);
        Assert.InRange(Off(2), -endsWithin, endsWithin);
    }

    // Near a runaway quick pours heat themselves, so that the line bends: it then puts the slow pieces, which decide, too late.
    [Theory]
    [InlineData(20, 0.03)]
    [InlineData(24, 0.08)]
    public void LogOfTheHours_OfAHotPour_BendsToTheSafeSide(double celsius, double within)
    {
        var piece = Piece("deep", 40, celsius);
        var ready = Of(piece, 1);
        var slowest = ready.MedianHours * Math.Exp(2 * ready.LnSd);
        Assert.InRange(slowest / HoursAt(piece, -2), 1, 1 + within);
    }

    // In a thin coat heat does not count: t ~ 1/c, so a draw half as quick takes twice as long.
    [Fact]
    public void ThinCoat_HalfAsQuick_TakesTwiceAsLong()
    {
        var piece = Piece("fast", 1, 20);
        Assert.Equal(2, Of(piece, 0.5).MedianHours / Of(piece, 1).MedianHours, 0.02);
        Assert.Equal(PourSd, Of(piece, 1).LnSd, 0.002);
    }

    // At 0 °C a deep casting never gets 10 K below its glass transition as counted in a room of 20 °C.
    [Fact]
    public void ColdRoom_NeverHardens_IsNever()
    {
        var ready = Of(Piece("deep", 25, 0) with { Layers = [new(0, 25, 10, ReadyResin("deep"))] }, 1);
        Assert.Equal(double.PositiveInfinity, ready.MedianHours);
    }

    private static ReadyTime Of(PieceCase piece, double rateFactor) =>
        Assert.Single(ReadyTimes.Of(piece, [Departure.None with { RateFactor = rateFactor }], LadderGate.Handle, PourSd));

    private static double HoursAt(PieceCase piece, double scores) => Assert.Single(ReadyTimes.Of(
        piece, [Departure.None with { RateFactor = Math.Exp(PourSd * scores) }], LadderGate.Handle, 1e-3)).MedianHours;

    private static PieceCase Piece(string resin, double depthMm, double celsius) => new()
    {
        Layers = [new(0, depthMm, Math.Max(celsius, 10), ReadyResin(resin))], Ambient = [new(0, celsius)], WorkCelsius = 20,
    };

    private static ResinCureModel ReadyResin(string name) => name == "deep" ? ResinCureModel.DeepCasting : ResinCureModel.FastCoating;
}
