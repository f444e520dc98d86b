using CsCheck;
using Pourwright.Cure.Advice;
using Pourwright.Cure.Kinetics;
using Pourwright.Cure.Readiness;

namespace Pourwright.Cure.Tests.Advice;

public class BatchHeatTests
{
    private const long GramMg = 1000;
    private static readonly MixVessel Bucket = new(240, 260);
    private static readonly ResinCureModel Deep = ResinCureModel.DeepCasting;

    // Nothing is lost: 0.20 of 310 J/g over 1.85 J/(g K) = 33.514 K above 20 °C, whatever the rate.
    [Fact]
    public void EndTemperature_WithoutLoss_IsTheShareOfTheAdiabaticRise()
    {
        Assert.Equal(53.514, BatchHeat.Of(Deep, 2000 * GramMg, Bucket with { LossWPerM2K = 0 }, 20, 20).EndCelsius, 1e-3);
    }

    // A rate that no temperature changes, m = n = 1: t = ln((1 + (k2/k1) α)/(1 − α))/(k1 + k2). With k1 5e-6, k2 4e-5 and α =
    // 0.2: ln(2.6/0.8)/4.5e-5 = 1.178655/4.5e-5 = 26 192.3 s = 7.27565 h.
    [Fact]
    public void Hours_AtARateWithoutActivation_AreTheClosedForm()
    {
        var flat = Deep with
        {
            Reaction = Deep.Reaction with { Chemistry = new(5e-6, 4e-5, 0, 0, 1, 1), Diffusion = new NoDiffusionControl() },
        };
        Assert.Equal(7.27565, BatchHeat.Of(flat, 2000 * GramMg, Bucket, 20, 20).Hours, 1e-4);
    }

    // A loss so great that the batch stays at 20 °C: t = ∫ dα/r(α, 20 °C).
    [Fact]
    public void Hours_OfABatchHeldAtRoomTemperature_AreTheIsothermalIntegral()
    {
        const int slices = 20_000;
        var hours = Enumerable.Range(0, slices)
            .Sum(i => 0.2 / slices / Deep.Reaction.RatePerSecond((i + 0.5) * 0.2 / slices, 293.15)) / 3600;
        var held = BatchHeat.Of(Deep, 20 * GramMg, Bucket with { LossWPerM2K = 1000 }, 20, 20);
        Assert.Equal(hours, held.Hours, 0.005 * hours);
        Assert.Equal(20, held.EndCelsius, 0.1);
    }

    // Without loss temperature follows conversion alone, so twice the rate is half the time; the diffusion that is not doubled
    // costs less than a ten-thousandth this early.
    [Fact]
    public void Hours_WithoutLossAtTwiceTheRate_AreHalf()
    {
        double Hours(ResinCureModel resin) => BatchHeat.Of(resin, 500 * GramMg, Bucket with { LossWPerM2K = 0 }, 22, 20).Hours;
        Assert.Equal(0.5, Hours(Deep.WithRateScale(2)) / Hours(Deep), 1e-4);
    }

    [Fact]
    public void Hours_OfALargerOrWarmerBatch_AreFewer()
    {
        var batches = Gen.Select(Gen.Long[50, 4000], Gen.Double[1.1, 2], Gen.Double[12, 30], Gen.Double[0.5, 5]);
        batches.Sample((grams, larger, celsius, warmer) =>
        {
            double Hours(double factor, double more) => BatchHeat.Of(
                ResinCureModel.FastCoating, (long)(grams * factor) * GramMg, Bucket, celsius + more, celsius + more).Hours;
            Assert.True(Hours(larger, 0) < Hours(1, 0));
            Assert.True(Hours(1, warmer) < Hours(1, 0));
        }, iter: 100);
    }

    [Theory]
    [InlineData(20, 1.3)]
    [InlineData(25, 0.9)]
    public void Largest_OfAQuickResin_LastsAsLongAsAskedAndAGramMoreDoesNot(double celsius, double hours)
    {
        var limit = BatchHeat.Largest(ResinCureModel.FastCoating, Bucket, celsius, celsius, hours);
        Assert.Equal(BatchBound.WorkingTime, limit.BoundBy);
        Assert.True(limit.Time.Hours >= hours);
        var more = BatchHeat.Of(ResinCureModel.FastCoating, limit.MassMg + 2 * GramMg, Bucket, celsius, celsius);
        Assert.True(more.Hours < hours);
    }

    // A slow resin: the brim comes first, π/4 · 0.24² · 0.26 · 1100 = 12.938 kg. And a day is too long for any batch of the
    // quick one.
    [Fact]
    public void Largest_AtItsEnds_SaysWhatBounds()
    {
        var full = BatchHeat.Largest(Deep, Bucket, 20, 20, 1);
        Assert.Equal((BatchBound.Vessel, 12.938), (full.BoundBy, Math.Round(full.MassMg / 1e6, 3)));
        Assert.Equal(0, BatchHeat.Largest(ResinCureModel.FastCoating, Bucket, 20, 20, 24).MassMg);
    }

    [Fact]
    public void Mass_OverTheBrim_IsRefused()
    {
        var refused = Assert.Throws<CureRangeException>(() => BatchHeat.Of(Deep, 13_000 * GramMg, Bucket, 20, 20));
        Assert.Equal(("Mass of the batch", "kg"), (refused.Quantity, refused.Unit));
    }
    // The ends of each range are answered, what lies a little beyond is not.
    [Theory]
    [InlineData(29, 260, 8, 20, 20, "Diameter of the vessel")]
    [InlineData(801, 260, 8, 20, 20, "Diameter of the vessel")]
    [InlineData(240, 19, 8, 20, 20, "Height of the vessel")]
    [InlineData(240, 801, 8, 20, 20, "Height of the vessel")]
    [InlineData(240, 260, -1, 20, 20, "Loss of the vessel")]
    [InlineData(240, 260, 1001, 20, 20, "Loss of the vessel")]
    [InlineData(240, 260, 8, 4, 20, "Temperature of the mix")]
    [InlineData(240, 260, 8, 61, 20, "Temperature of the mix")]
    [InlineData(240, 260, 8, 20, -11, "Ambient temperature")]
    [InlineData(240, 260, 8, 20, 51, "Ambient temperature")]
    [InlineData(240, 260, 8, double.NaN, 20, "Temperature of the mix")]
    public void Question_OutOfRange_IsRefusedByItsQuantity(double diameterMm, double heightMm, double loss, double mixCelsius, double roomCelsius, string quantity)
    {
        var refused = Assert.Throws<CureRangeException>(() => BatchHeat.Of(Deep, 100 * GramMg, new(diameterMm, heightMm, loss), mixCelsius, roomCelsius));
        Assert.Equal(quantity, refused.Quantity);
        Assert.True(BatchHeat.Of(Deep, 100 * GramMg, new(
            Math.Clamp(diameterMm, 30, 800), Math.Clamp(heightMm, 20, 800), Math.Clamp(loss, 0, 1000)),
            double.IsNaN(mixCelsius) ? 20 : Math.Clamp(mixCelsius, 5, 60), Math.Clamp(roomCelsius, -10, 50)).Hours > 0);
    }
}
