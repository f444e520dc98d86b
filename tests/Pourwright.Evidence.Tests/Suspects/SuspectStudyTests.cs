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

    // A cure engine that is right nine times of ten helps; one no better than a coin costs a run or two of sixty, blames nobody more.
    [Fact]
    public void Ranking_CureEngineBesideCountsOf30_FindsMoreLotsAndBlamesNobodyMore()
    {
        StudyOutcome Lot(double? accuracy) => SuspectStudy.Of(new(Planted.Lot, 0.6, 30, true, accuracy), Runs);
        var (alone, good, coin) = (Lot(null), Lot(0.9), Lot(0.5));
        Assert.True(good.First > alone.First && good.Hit > alone.Hit, $"first {alone.First} and {good.First}, called out {alone.Hit} and {good.Hit}");
        Assert.InRange(coin.First, alone.First - 2, Runs);
        Assert.InRange(SuspectStudy.Of(new(Planted.Nothing, 0, 30, false, 0.5), Runs).Share(o => o.FalseBlame), 0, 0.05 + alone.TwoErrorsAt(0.05));
    }

    // The truth is a person, a place or the air: pieces enough, they stand first as well.
    [Theory]
    [InlineData(Planted.Instructor, 0.30)]
    [InlineData(Planted.Site, 0.25)]
    [InlineData(Planted.Humidity, 0.35)]
    public void Ranking_OtherTruthsAmong250_StandFirst(object planted, double rate)
    {
        var outcome = SuspectStudy.Of(new((Planted)planted, rate, 250, true), Runs);
        Assert.InRange(outcome.Share(o => o.First), 0.70, 1);
        Assert.InRange(outcome.Share(o => o.FalseBlame), 0, 0.10 + outcome.TwoErrorsAt(0.10));
    }
}
