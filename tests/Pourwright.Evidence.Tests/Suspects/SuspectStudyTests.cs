using Pourwright.Evidence.Suspects;

namespace Pourwright.Evidence.Tests.Suspects;

/// <summary>Sixty invented studios a cell; the benchmark suspects runs a thousand.</summary>
public sealed class SuspectStudyTests
{
    private const int Runs = 60;

    [Theory]
    [InlineData(30, false)]
    [InlineData(60, false)]
    [InlineData(120, false)]
    [InlineData(250, false)]
    [InlineData(120, true)]
    public void Ranking_NothingPlanted_BlamesNobodyMoreOftenThanSaid(int pieces, bool nuisances)
    {
        var outcome = SuspectStudy.Of(new(Planted.Nothing, 0, pieces, nuisances), Runs);
        Assert.InRange(outcome.Share(o => o.FalseBlame), 0, 0.05 + outcome.TwoErrorsAt(0.05));
    }

    [Fact]
    public void Ranking_LotOf60PercentAmong120_StandsFirstAndAlone()
    {
        var outcome = SuspectStudy.Of(new(Planted.Lot, 0.6, 120, true), Runs);
        Assert.InRange(outcome.Share(o => o.First), 0.80, 1);
        Assert.InRange(outcome.Share(o => o.FalseBlame), 0, 0.10);
    }
}
