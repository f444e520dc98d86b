using Pourwright.Evidence.Watch;

namespace Pourwright.Evidence.Tests.Watch;

public sealed class BernoulliCusumTests
{
    // Reynolds and Stoumbos 1999, from memory, for the steps; mean runs computed from the exact chain by another program.
    [Theory]
    [InlineData(20, 0.05, 497.81696887777673)]
    [InlineData(20, 0.20, 21.57400691196574)]
    [InlineData(20, 0.50, 6.224440991479352)]
    [InlineData(15, 0.05, 171.22172799660393)]
    [InlineData(25, 0.20, 28.08293946585073)]
    [InlineData(36, 0.50, 10.77563623469351)]
    public void MeanPiecesToAlarm_ExactChain_IsReproduced(int limit, double rate, double pieces) =>
        Assert.Equal(pieces, new BernoulliCusum(8, 1, limit).MeanPiecesToAlarm(rate), pieces * 1e-9);

    // r1 = ln(0.95/0.80) = 0.17185, r2 = ln(0.2 · 0.95/(0.05 · 0.8)) = 1.55814: a defect counts (r2 − r1)/r1 = 8.07 fine pieces.
    [Fact]
    public void Steps_ForFiveAndTwentyPercent_AreEightToOne() =>
        Assert.Equal((8, 1), (new BernoulliCusum().Up, (int)Math.Round((Math.Log(0.19 / 0.04) - Math.Log(0.95 / 0.8)) / Math.Log(0.95 / 0.8)) - 7));

    // Nothing but defects: 8, 16, 24: the third calls.
    [Fact]
    public void MeanPiecesToAlarm_NothingButDefects_IsThree() => Assert.Equal(3, new BernoulliCusum().MeanPiecesToAlarm(1), 1e-12);

    [Fact]
    public void MeanPiecesToAlarm_NoDefects_IsRefused() => Assert.Throws<ArgumentOutOfRangeException>(() => new BernoulliCusum().MeanPiecesToAlarm(0));

    [Fact]
    public void Limit_OfNothing_IsRefused() => Assert.Throws<ArgumentOutOfRangeException>(() => new BernoulliCusum(Limit: 0));

    // north: 0 0 8 7 15 14 22: calls with its seventh piece; the sum last left 0 with its third.
    [Fact]
    public void Alarms_DefectsGatherAtOneSite_NameTheFirstPieceOfTheRun()
    {
        var alarm = Assert.Single(SiteWatch.Alarms([.. Site("north", "..x.x.x"), .. Site("south", "x........x")]));
        Assert.Equal(("north", "north-3", "north-7", 5, 3), (alarm.Site, alarm.FirstPiece, alarm.LastPiece, alarm.Pieces, alarm.Defective));
        Assert.StartsWith("north: 3 of 5 pieces inspected in a row are defective, from north-3 to north-7.", alarm.Words, StringComparison.Ordinal);
        Assert.Contains("about once in 498 pieces", alarm.Words, StringComparison.Ordinal);
    }

    // The same seven thrown among two sites call nobody: each site has a sum of its own.
    [Fact]
    public void Alarms_SameDefectsOverTwoSites_CallNobody() =>
        Assert.Empty(SiteWatch.Alarms([.. Site("north", "..x.x"), .. Site("south", ".x")]));

    // x x x calls (24), then the sum begins anew: the next x is the first of a new run and three of them call again.
    [Fact]
    public void Alarms_AfterOne_BeginAnew() => Assert.Equal(
        [("n-1", "n-3"), ("n-4", "n-6")], SiteWatch.Alarms(Site("n", "xxxxxx")).Select(a => (a.FirstPiece, a.LastPiece)));

    private static IEnumerable<Inspection> Site(string site, string pieces) =>
        pieces.Select((c, i) => new Inspection(site, $"{site}-{i + 1}", c == 'x'));
}
