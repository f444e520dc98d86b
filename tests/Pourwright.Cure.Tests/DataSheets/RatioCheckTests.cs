using Pourwright.Cure.DataSheets;

namespace Pourwright.Cure.Tests.DataSheets;

public class RatioCheckTests
{
    // Makers' figures, common practice, no source: 1:1 by volume = 100:83 by mass, 3:1 by volume = 3.5:1 by mass. Densities are
    // plausible ones (resin 1.15 to 1.16, hardener 0.95 to 0.99 g/cm³, from memory):
    // 100 · 0.963/1.160 = 83.0; 33.33 · 0.985/1.150 = 28.55 against 100/3.5 = 28.57.
    // With equal densities 1:1 by volume would be 100:100 by mass: 20 % off. 100 · 0.99/1.16 = 85.3 is 2.8 % off, 100 · 1/1.16 =
    // 86.2 is 3.9 %.
    [Theory]
    [InlineData(100, 83, 1160, 963, true, 83.017)]
    [InlineData(33.333, 28.571, 1150, 985, true, 28.551)]
    [InlineData(100, 83, 1160, 990, true, 85.345)]
    [InlineData(100, 83, 1160, 1000, false, 86.207)]
    [InlineData(100, 83, 1100, 1100, false, 100)]
    [InlineData(50, 83, 1160, 963, false, 41.509)]
    public void Ratio_ByMassAndByVolume_AgreeWithinThreePercentOrAreFlagged(
        double byVolume, double byMass, double aDensity, double bDensity, bool agree, double fromVolume)
    {
        var calibration = SheetCalibrator.Calibrate(Sheet(byVolume, byMass, aDensity, bDensity));
        Assert.Equal(agree, calibration.Ratio!.Agrees);
        Assert.Equal(byMass, calibration.Ratio.PrintedByMass);
        Assert.Equal(fromVolume, calibration.Ratio.FromVolume, 1e-3);
        if (agree)
            Assert.Empty(calibration.Cautions);
        else
            Assert.Contains($"100:{byMass:0.##}", Assert.Single(calibration.Cautions).Text);
    }

    [Fact]
    public void Ratio_WithAMissingNumber_IsNotChecked()
    {
        Assert.Null(SheetCalibrator.Calibrate(Sheet(100, 83, 1160, 963) with { BDensityKgPerM3 = null }).Ratio);
    }

    // 183 g of 100:83 fill 100/1.160 + 83/0.963 = 86.207 + 86.189 = 172.396 cm³: 1061.5 kg/m³. By volume the same, 1:1: the mean
    // of 1160 and 963 is 1061.5. Without densities the 1100 of the class.
    [Fact]
    public void Density_OfTheMix_IsThatOfVolumesThatAddUp()
    {
        var sheet = Sheet(100, 83, 1160, 963);
        double Density(DataSheet from) => SheetCalibrator.Calibrate(from).Model.DensityKgPerM3;
        Assert.Equal(1061.5, Density(sheet), 0.05);
        Assert.Equal(1061.5, Density(sheet with { HardenerPartsPer100ResinByMass = null }), 1e-9);
        Assert.Equal(1100, Density(sheet with { ADensityKgPerM3 = null }));
    }

    private static DataSheet Sheet(double byVolume, double byMass, double aDensity, double bDensity) => Sheets.Of() with
    {
        HardenerPartsPer100ResinByVolume = byVolume, HardenerPartsPer100ResinByMass = byMass,
        ADensityKgPerM3 = aDensity, BDensityKgPerM3 = bDensity,
    };
}
