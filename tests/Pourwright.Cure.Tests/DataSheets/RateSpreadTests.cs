using Pourwright.Cure.DataSheets;

namespace Pourwright.Cure.Tests.DataSheets;

/// <summary>How far a rate is still open once a sheet was read: e^(1.645 σ) either way.</summary>
public class RateSpreadTests
{
    // The prior leaves more than a class may say of itself: 0.7/√2 = 0.495 of the rate scale alone. 0.35 is the most; e^(1.645 ·
    // 0.35) = 1.78.
    [Theory]
    [InlineData(CureClass.DeepCasting)]
    [InlineData(CureClass.FastCoating)]
    public void RateSpread_OfASheetWithoutFigures_IsThatOfTheClass(CureClass cureClass)
    {
        var calibration = SheetCalibrator.Calibrate(Sheets.Of(cureClass));
        Assert.Equal(0.35, calibration.RateLnSd);
        Assert.Equal(1.78, calibration.RateFactor, 0.005);
    }

    // A demold time known to ±0.25 says what is asked for nearly by itself: at most 0.25, less what the literature knows besides.
    // With a gel time (±0.20) no more than either alone.
    [Fact]
    public void RateSpread_WithDemoldAndGelTime_IsClearlySmaller()
    {
        var demold = Sheets.Demold(Sheets.Deep, 40, 20);
        var alone = SheetCalibrator.Calibrate(Sheets.Of(demold)).RateLnSd;
        var both = SheetCalibrator.Calibrate(Sheets.Of(demold, Sheets.Gel(Sheets.Deep, 23))).RateLnSd;
        Assert.InRange(alone, 0.15, 0.25);
        Assert.InRange(both, 0.10, alone);
    }

    // 40 mm of a resin that thickens in 95 minutes run away: their demold time follows the heat they lose and hardly the rate. Of
    // a thin piece the sheet says little all the same.
    [Fact]
    public void RateSpread_OfAResinWhoseDeepCastingRunsAway_IsNotTakenFromThatCasting()
    {
        var calibration = SheetCalibrator.Calibrate(Sheets.Of(new PotLife(95 / 60.0, 100_000, Vessel.Cup, 25)));
        Assert.InRange(Sheets.Peak(calibration.Model, 40, 20).PeakCelsius, 100, 200);
        Assert.Equal(0.35, calibration.RateLnSd);
    }

    [Fact]
    public void RateSpread_WithOneFigureMore_NeverGrowsAndStopsAtTenPercent()
    {
        SheetFigure[] all =
        [
            Sheets.Demold(Sheets.Deep, 20, 20), Sheets.Gel(Sheets.Deep, 20), Sheets.Full(Sheets.Deep, 20), Sheets.Demold(Sheets.Deep, 10, 20),
            Sheets.Demold(Sheets.Deep, 5, 20), Sheets.Demold(Sheets.Deep, 15, 20), Sheets.Demold(Sheets.Deep, 25, 20),
            Sheets.Demold(Sheets.Deep, 8, 20), Sheets.Demold(Sheets.Deep, 12, 20), Sheets.Demold(Sheets.Deep, 18, 20),
        ];
        double[] spreads = [.. Enumerable.Range(0, all.Length + 1).Select(n => SheetCalibrator.Calibrate(Sheets.Of(all[..n])).RateLnSd)];
        Assert.All(spreads.Zip(spreads.Skip(1)), pair => Assert.InRange(pair.Second, 0.10, pair.First * 1.02));
        Assert.Equal(0.10, spreads[^1], 0.005);
    }
}
