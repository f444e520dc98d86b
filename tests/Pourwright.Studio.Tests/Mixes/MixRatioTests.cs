using CsCheck;
using Pourwright.Studio.Mixes;
using Pourwright.Studio.Resins;
using Pourwright.V1;
using Basis = Pourwright.V1.ResinSystem.Types.Basis;
using CureClass = Pourwright.V1.ResinSystem.Types.CureClass;
using LimitAction = Pourwright.V1.ResinSystem.Types.LimitAction;

namespace Pourwright.Studio.Tests.Mixes;

public sealed class MixRatioTests
{
    [Fact]
    public void VolumeProduct_WeighedTwoToOneByMass_HasTwentyPercentTooMuchHardener()
    {
        // Densities 1150 and 960 kg/m³ (from memory). 1000 g of A are 1000/1.150 = 869.57 ml, 500 g of B are
        // 500/0.960 = 520.83 ml: 100 · 520.83 / 869.57 = 59.896 parts, and (59.896 - 50) / 50 = +19.79 %.
        var ratio = ByVolume(50, 1150, 960, aMassMg: 1_000_000, bMassMg: 500_000);

        Assert.Equal(50.0 * 1150 / 960, ratio.HardenerPartsPer100Resin, 1e-9);
        Assert.Equal(19.79, ratio.DeviationPercent, 0.005);
        Assert.False(ratio.IsInTolerance);
        Assert.True(ratio.FitsOtherBasis);
    }

    [Fact]
    public void VolumeProduct_WeighedThroughItsDensities_IsRight()
    {
        // 2:1 by volume at 1150 and 960 kg/m³ is 0.5 · 960 / 1150 = 0.417391 g of B for each g of A.
        var ratio = ByVolume(50, 1150, 960, aMassMg: 1_000_000, bMassMg: 417_391);

        Assert.Equal(0, ratio.DeviationPercent, 0.001);
        Assert.True(ratio.IsInTolerance);
        Assert.False(ratio.FitsOtherBasis);
    }

    // Makers' figures, common practice, no source: the same product told by volume and by mass.
    [Theory]
    [InlineData(100, 1000, 830, 100_000, 83_000)]       // 1:1 by volume is 100:83 by mass
    [InlineData(100.0 / 3, 1050, 900, 350_000, 100_000)] // 3:1 by volume is 3.5:1 by mass: 900 / 1050 = 3 / 3.5
    public void PublishedPair_ByVolumeAndByMass_IsOneRatio(double partsByVolume, double aKgPerM3, double bKgPerM3, long aMassMg, long bMassMg)
    {
        Assert.Equal(0, ByVolume(partsByVolume, aKgPerM3, bKgPerM3, aMassMg, bMassMg).DeviationPercent, 1e-9);
        Assert.Equal(0, ByMass(100.0 * bMassMg / aMassMg, 2, aMassMg, bMassMg).DeviationPercent, 1e-9);
    }

    // 42 parts and 2 %: 42 · 1.02 = 42.84 and 42 · 0.98 = 41.16 are the last that pass.
    [Theory]
    [InlineData(42_840, true)]
    [InlineData(42_841, false)]
    [InlineData(41_160, true)]
    [InlineData(41_159, false)]
    public void Tolerance_IsInclusive_ToTheMilligram(long bMassMg, bool inTolerance) =>
        Assert.Equal(inTolerance, ByMass(42, 2, 100_000, bMassMg).IsInTolerance);

    [Theory]
    [InlineData(100_000, 50_000, Part.A, 19_048)] // 50 / 0.42 = 119.0476 g of A are needed, 19.0476 g more
    [InlineData(100_000, 40_000, Part.B, 2_000)]  // 100 · 0.42 = 42 g of B, 2 g more
    public void WayOut_ByMass_IsWhatIsMissing(long aMassMg, long bMassMg, Part part, long massMg) =>
        Assert.Equal((part, massMg), ByMass(42, 2, aMassMg, bMassMg).WayOut());

    [Fact]
    public void WayOut_ByVolume_GoesThroughTheDensities() =>
        // 500 g of B want 500 / 0.417391 = 1197.9167 g of A: 197.9167 g more than the 1000 g.
        Assert.Equal((Part.A, 197_917), ByVolume(50, 1150, 960, 1_000_000, 500_000).WayOut());

    [Fact]
    public void WayOut_Followed_ComesToTheTarget() =>
        Gen.Select(Gen.Double[5, 400], Gen.Double[800, 2500], Gen.Double[800, 2500], Gen.Long[50_000, 5_000_000], Gen.Long[50_000, 5_000_000])
            .Sample((parts, aKgPerM3, bKgPerM3, aMassMg, bMassMg) =>
            {
                var ratio = ByVolume(parts, aKgPerM3, bKgPerM3, aMassMg, bMassMg);
                var (part, massMg) = ratio.WayOut();
                var corrected = part == Part.A
                    ? ratio with { AMassMg = aMassMg + massMg }
                    : ratio with { BMassMg = bMassMg + massMg };
                // Rounded up to a milligram: at most 1 mg in 50 g, 0.002 %, beyond the target.
                Assert.True(massMg >= 0);
                Assert.InRange(Math.Abs(corrected.DeviationPercent), 0, 0.0021);
            });

    private static MixRatio ByMass(double parts, double tolerancePercent, long aMassMg, long bMassMg) =>
        new(System(Basis.Mass, parts, tolerancePercent), aMassMg, bMassMg);

    private static MixRatio ByVolume(double parts, double aKgPerM3, double bKgPerM3, long aMassMg, long bMassMg) =>
        new(System(Basis.Volume, parts, 2) with { ADensityKgPerM3 = aKgPerM3, BDensityKgPerM3 = bKgPerM3 }, aMassMg, bMassMg);

    internal static ResinSystemRecord System(Basis basis, double parts, double tolerancePercent) => new()
    {
        Name = "studios/alder/resinSystems/deep",
        Studio = "studios/alder",
        DisplayName = "Deep casting",
        Basis = basis,
        HardenerPartsPer100Resin = parts,
        RatioTolerancePercent = tolerancePercent,
        CureClass = CureClass.DeepCasting,
        DepthLimitAction = LimitAction.Warn,
        BatchLimitAction = LimitAction.Warn,
        MinCureTemperatureCelsius = 15,
    };
}
