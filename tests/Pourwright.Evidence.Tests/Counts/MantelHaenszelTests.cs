using Pourwright.Evidence.Counts;

namespace Pourwright.Evidence.Tests.Counts;

public sealed class MantelHaenszelTests
{
    // Admissions to a university by sex in six departments, the R data set UCBAdmissions: men admitted and rejected, women
    // admitted and rejected.
    private static readonly TwoByTwo[] Departments =
    [
        new(512, 313, 89, 19), new(353, 207, 17, 8), new(120, 205, 202, 391),
        new(138, 279, 131, 244), new(53, 138, 94, 299), new(22, 351, 24, 317),
    ];

    // Expected: R 4.2.2, mantelhaen.test.
    [Fact]
    public void Of_Admissions_IsReproduced()
    {
        var common = MantelHaenszel.Of(Departments);
        Assert.Equal(0.904696828258623, common.OddsRatio, 1e-12);
        Assert.Equal(0.77190736175935, common.Interval!.Value.Low, 1e-10);
        Assert.Equal(1.06032976443666, common.Interval!.Value.High, 1e-10);
        Assert.Equal(1.42694622858669, common.ChiSquare, 1e-10);
        Assert.Equal(0.232263462817048, common.P, 1e-10);
    }

    // The same seen without departments: (1198 · 1278)/(1493 · 557) = 1.84108, the other way round.
    [Fact]
    public void Odds_AdmissionsThrownTogether_SayTheOpposite()
    {
        var crude = new TwoByTwo(Departments.Sum(t => t.DefectiveWith), Departments.Sum(t => t.FineWith), Departments.Sum(t => t.DefectiveWithout), Departments.Sum(t => t.FineWithout));
        Assert.Equal(1.84108, Ratios.Odds(crude).Ratio, 5e-6);
    }

    // One table: the ratio is its own, ad/bc.
    [Fact]
    public void Of_OneTable_IsItsOddsRatio() => Assert.Equal(143, MantelHaenszel.Of([new(11, 3, 3, 117)]).OddsRatio, 1e-10);

    // A site where all pieces are of the lot, or none is defective, adds nothing.
    [Fact]
    public void Of_TablesThatSayNothing_AreLeftOut()
    {
        TwoByTwo[] silent = [new(3, 4, 0, 0), new(0, 5, 0, 6), new(0, 0, 0, 0)];
        Assert.Equal(MantelHaenszel.Of([new(4, 2, 1, 9)]), MantelHaenszel.Of([new(4, 2, 1, 9), .. silent]));
        Assert.Equal(0, MantelHaenszel.Of(silent).InformativeTables);
        Assert.Equal(1, MantelHaenszel.Of(silent).P);
    }

    [Fact]
    public void Of_DefectsOnOneSideOnly_IsInfiniteWithoutInterval()
    {
        var common = MantelHaenszel.Of([new(4, 2, 0, 9)]);
        Assert.Equal((double.PositiveInfinity, (Interval?)null), (common.OddsRatio, common.Interval));
    }
}
