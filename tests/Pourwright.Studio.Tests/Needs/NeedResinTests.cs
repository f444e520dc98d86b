using CsCheck;
using Pourwright.Studio.Needs;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Resins;
using Basis = Pourwright.V1.ResinSystem.Types.Basis;
using CureClass = Pourwright.V1.ResinSystem.Types.CureClass;
using LimitAction = Pourwright.V1.ResinSystem.Types.LimitAction;

namespace Pourwright.Studio.Tests.Needs;

/// <summary>Own arithmetic throughout; loss of 12 % and batch limits are common practice, no source.</summary>
public sealed class NeedResinTests
{
    // 400 x 250 x 40 mm = 4.00 L, 60 % wood: void 1.60 L; x 1.10 = 1.76 kg; x 1.12 = 1,971,200 mg.
    // At 100:42 A is 100/142 of it, 1,388,169.01, and B 583,030.99: down to 1,388,169 and 583,030, the odd mg to the larger remainder, B.
    [Fact]
    public void Piece_OfTheWorkedExample_IsWeighedToTheMilligram()
    {
        var need = NeedResin.Decide(Facts());
        Assert.Equal(1.60e6, need.VoidMm3, 1e-3);
        Assert.Equal(new Parts(1_388_169, 583_031), need.Piece);
        Assert.Equal(1_971_200, need.Piece.MassMg);
    }

    // 8 x 1.9712 kg = 15.7696 kg: 15.8 kg.
    [Fact]
    public void Class_OfEight_IsEightPieces() => Assert.Equal(15_769_600, NeedResin.Decide(Facts()).Total("resin").MassMg);

    // Wood of 1.68 kg at 700 kg/m3 is 2.40 L, the same 60 % of 4.00 L.
    [Fact]
    public void Wood_ThatWasWeighed_CountsByItsDensity() => Assert.Equal(
        NeedResin.Decide(Facts()).Piece,
        NeedResin.Decide(Facts() with { Mould = Mould with { WoodShare = 0.2, WoodMassMg = 1_680_000, WoodDensityKgPerM3 = 700 } }).Piece);

    // 2.94 kg at 700 kg/m3 are 4.20 L of wood for a mould of 4.00 L.
    [Fact]
    public void Wood_LargerThanTheMould_IsRefusedWithBothVolumes()
    {
        var refusal = Assert.Throws<Refusal>(() => NeedResin.Decide(
            Facts() with { Mould = Mould with { WoodMassMg = 2_940_000, WoodDensityKgPerM3 = 700 } }));
        Assert.Equal((Reasons.WoodFillsMould, "4.20", "4.00"), (refusal.Reason, refusal.Facts["wood_litres"], refusal.Facts["cavity_litres"]));
    }

    // 2:1 by volume at 1.15 and 0.96: 50 x 0.96/1.15 = 41.739 for 100 by mass, not 50.
    [Fact]
    public void Ratio_ByVolume_IsWeighedThroughTheDensities()
    {
        var system = Deep with { Basis = Basis.Volume, HardenerPartsPer100Resin = 50, ADensityKgPerM3 = 1150, BDensityKgPerM3 = 960 };
        Assert.Equal(41.739, NeedResin.HardenerPartsByMass(system), 1e-3);
        // 1,971,200 / 1.417391 = 1,390,724.
        Assert.Equal(1_390_724, NeedResin.Decide(Facts(system)).Piece.AMassMg);
    }

    [Fact]
    public void Ratio_ByVolumeWithoutDensities_IsRefused() => Assert.Equal(
        Reasons.DensityMissing,
        Assert.Throws<Refusal>(() => NeedResin.Decide(Facts(Deep with { Basis = Basis.Volume, ADensityKgPerM3 = null }))).Reason);

    // Boards of 60 % in 400 x 250 x 40: 0.6 x (2 x 400 x 250 + 2 x 250 x 40) + 4 x 400 x 40 = 132,000 + 64,000 = 196,000 mm2;
    // at 150 g/m2 29.4 g, with 12 % 32,928 mg.
    [Fact]
    public void SealCoat_CoversBothBoardsAllAround()
    {
        var need = NeedResin.Decide(Facts() with { SealCoatGPerM2 = 150 });
        Assert.Equal(196_000, Mould.WoodFacesMm2, 1e-6);
        Assert.Equal(32_928, need.SealCoat.MassMg);
        Assert.Equal(1_971_200 + 32_928, need.Piece.MassMg);
        Assert.Equal(0, need.Batches[0].Layer);
    }

    [Fact]
    public void SealCoat_WithoutWood_IsNone() =>
        Assert.Equal(Parts.None, NeedResin.Decide(Facts() with { SealCoatGPerM2 = 150, Mould = Mould with { WoodShare = 0 } }).SealCoat);

    // 15 and 25 of 40 mm: 3/8 and 5/8 of 1,388,169: 520,563.4 and 867,605.6; of 583,031: 218,636.6 and 364,394.4.
    [Fact]
    public void Layers_ShareThePourByTheirDepths() => Assert.Equal(
        [new Parts(520_563, 218_637), new Parts(867_606, 364_394)],
        NeedResin.Decide(Facts() with { Layers = [new(15, 0), new(25, 86_400_000)] }).Layers);

    // At most 6 kg a batch: three pieces of 1.97 kg fit (5.91), so 8 pieces are 3 batches of 3, 3 and 2.
    [Fact]
    public void Batches_HoldWholePiecesAsEvenlyAsCanBe() => Assert.Equal(
        [(1, 3), (4, 6), (7, 8)],
        NeedResin.Decide(Facts(batchMaxMg: 6_000_000)).Batches.Select(batch => (batch.FirstPiece, batch.LastPiece)));

    // At most 800 g: a piece of 1,971,200 mg is 3 batches; A 462,723 each; B 194,344, 194,344 and 194,343, the odd ones last.
    [Fact]
    public void Batches_OfAPieceLargerThanOne_AreEvenToTheMilligram()
    {
        var batches = NeedResin.Decide(Facts(batchMaxMg: 800_000)).Batches;
        Assert.Equal(24, batches.Count);
        Assert.Equal([new(462_723, 194_343), new(462_723, 194_344), new(462_723, 194_344)], batches.Take(3).Select(batch => batch.Parts));
        Assert.All(batches, batch => Assert.Equal(3, batch.Of));
    }

    [Fact]
    public void Batches_WhereNoLimitIsKnown_AreOneAPiece() => Assert.Equal(8, NeedResin.Decide(Facts(batchMaxMg: null)).Batches.Count);

    // Thin coats go together, up to what one piece takes of the casting at once: that much is mixed anyhow.
    [Fact]
    public void Batches_OfSealCoatsWhereNoLimitIsKnown_AreNoLargerThanACasting()
    {
        var need = NeedResin.Decide(Facts(batchMaxMg: null) with { SealCoatGPerM2 = 150 });
        var coats = need.Batches.Where(batch => batch.Layer == 0).ToArray();
        Assert.True(coats.Length < 8);
        Assert.All(coats, batch => Assert.InRange(batch.Parts.MassMg, 1, need.Layers[0].MassMg));
        Assert.Equal(8, need.Batches.Count(batch => batch.Layer == 1));
    }

    /// <summary>Whatever is asked: pieces and batches add up to the class, in each part, and no batch is too large.</summary>
    [Fact]
    public void Masses_OfAnyClass_AddUpToTheMilligram() =>
        (from pieces in Gen.Int[1, 20]
         from share in Gen.Double[0, 0.9]
         from parts in Gen.Double[20, 110]
         from most in Gen.Long[150_000, 9_000_000]
         from first in Gen.Double[5, 35]
         select (pieces, share, parts, most, first)).Sample(asked =>
        {
            var facts = Facts(Deep with { HardenerPartsPer100Resin = asked.parts }, asked.most) with
            {
                Pieces = asked.pieces,
                Mould = Mould with { WoodShare = asked.share },
                Layers = [new(asked.first, 0), new(40 - asked.first, 1)],
                SealCoatGPerM2 = 150,
            };
            var need = NeedResin.Decide(facts);
            Assert.Equal(asked.pieces * need.Piece, need.Total("resin"));
            Assert.All(need.Batches, batch => Assert.InRange(batch.Parts.MassMg, 1, asked.most));
            Assert.Equal(asked.pieces, need.Batches.Where(batch => batch.Layer == 1).SelectMany(batch => Enumerable.Range(batch.FirstPiece, batch.LastPiece - batch.FirstPiece + 1)).Distinct().Count());
        }, iter: 2000, threads: 1);

    internal static readonly MouldFill Mould = new() { LengthMm = 400, WidthMm = 250, DepthMm = 40, WoodShare = 0.6 };

    internal static readonly ResinSystemRecord Deep = new()
    {
        Name = "resin",
        Studio = "studios/alder",
        DisplayName = "Deep casting",
        Basis = Basis.Mass,
        HardenerPartsPer100Resin = 42,
        RatioTolerancePercent = 2,
        CureClass = CureClass.DeepCasting,
        DepthLimitAction = LimitAction.Warn,
        BatchLimitAction = LimitAction.Warn,
        MinCureTemperatureCelsius = 18,
    };

    private static ResinNeedFacts Facts(ResinSystemRecord? system = null, long? batchMaxMg = 20_000_000)
    {
        var terms = new ResinTerms(system ?? Deep, 1100, batchMaxMg);
        return new() { Pieces = 8, Mould = Mould, Pour = terms, SealCoat = terms, Layers = [new(40, 0)], LossShare = 0.12 };
    }
}
