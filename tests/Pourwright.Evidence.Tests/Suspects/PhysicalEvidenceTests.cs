using Pourwright.Evidence.Suspects;
using static Pourwright.Evidence.Suspects.Factor;

namespace Pourwright.Evidence.Tests.Suspects;

public sealed class PhysicalEvidenceTests
{
    // Lot X and the cold band share the same counts but for one piece: 5 of 7 against 1 of 33 each.
    private static SuspectCase Torn() => new SuspectCase()
        .Add(4, 1, (LotA, "X"), (Temperature, "cold")).Add(1, 1, (LotA, "X"), (Temperature, "warm"))
        .Add(1, 1, (LotA, "Y"), (Temperature, "cold")).Add(0, 31, (LotA, "Y"), (Temperature, "warm"));

    private static IEnumerable<string> Defective(SuspectCase pieces) => pieces.Pieces.Where(p => p.IsDefective).Select(p => p.Name);

    [Fact]
    public void Evidence_RoomShouldHaveCuredThem_PutsTheLotFirst()
    {
        var torn = Torn();
        var first = torn.Rank([.. Defective(torn).SelectMany(p => PhysicalEvidence.OfCure(p, false))]).Suspects[0];
        Assert.Equal((LotA, 5, 0), (first.Level.Factor, first.Evidence.For, first.Evidence.Against));
    }

    [Fact]
    public void Evidence_RoomCuredThemTooLittle_PutsTheColdFirst()
    {
        var torn = Torn();
        var first = torn.Rank([.. Defective(torn).SelectMany(p => PhysicalEvidence.OfCure(p, true))]).Suspects[0];
        Assert.Equal((Temperature, "cold"), (first.Level.Factor, first.Level.Level));
    }

    // Without defects among its pieces there is nothing that evidence could be about.
    [Fact]
    public void Evidence_OnAFinePiece_IsNotLookedAt()
    {
        var torn = Torn();
        var fine = torn.Pieces.Where(p => !p.IsDefective).SelectMany(p => PhysicalEvidence.OfCure(p.Name, false)).ToArray();
        Assert.Equal(Words(torn.Rank()), Words(torn.Rank(fine)));
    }

    // The same of everyone: each support is 1 and so is the usual one, each raw weight 5, each fair weight 5/5 = 1.
    [Fact]
    public void Evidence_TheSameOfEveryone_ChangesNothing()
    {
        var torn = Torn();
        PhysicalEvidence[] all = [.. Defective(torn).SelectMany(p => new[] { LotA, Temperature }.Select(f => new PhysicalEvidence(p, f, null, Bearing.For, "")))];
        Assert.Equal(torn.Rank().Suspects.Select(s => s.AdjustedP), torn.Rank(all).Suspects.Select(s => s.WeightedP));
    }

    // 2 of 9 against 2 of 40 is nothing; evidence moves p by less than 25 times and cannot make it something.
    [Fact]
    public void Evidence_WithoutCounts_AccusesNobody()
    {
        var weak = new SuspectCase().Add(2, 7, (LotA, "X"), (Temperature, "warm")).Add(2, 38, (LotA, "Y"), (Temperature, "cold"));
        var evidence = Defective(weak).Take(2).SelectMany(p => PhysicalEvidence.OfCure(p, false)).ToArray();
        Assert.Empty(weak.Rank(evidence).CalledOut);
    }

    // Counts that would be strong stay at some while what is known of the pieces speaks against the lot.
    [Fact]
    public void Evidence_MostlyAgainst_TakesStrongAway()
    {
        var lot = RankSuspectsTests.BadLot();
        var against = Defective(lot).Take(8).SelectMany(p => PhysicalEvidence.OfCure(p, true)).ToArray();
        Assert.Equal((Grade.Strong, Grade.Some), (lot.Rank().Suspects[0].Grade, lot.Rank(against).Suspects[0].Grade));
    }

    // One piece that speaks both ways speaks none.
    [Fact]
    public void Evidence_BothWaysOfOnePiece_IsUnknown()
    {
        var torn = Torn();
        var piece = Defective(torn).First();
        var both = PhysicalEvidence.OfCure(piece, true).Concat(PhysicalEvidence.OfCure(piece, false)).ToArray();
        Assert.Equal(new EvidenceCount(0, 0, 5), torn.Rank(both).Suspects.Single(s => s.Level.Level == "X").Evidence);
    }

    [Fact]
    public void Evidence_OnOneLevel_LeavesTheOthersOfItsFactor()
    {
        var torn = Torn();
        var ranking = torn.Rank([.. Defective(torn).Select(p => new PhysicalEvidence(p, LotA, "X", Bearing.For, "a retained cup stayed soft"))]);
        Assert.Equal((5, 0), (ranking.Suspects.Single(s => s.Level.Level == "X").Evidence.For, ranking.Suspects.Single(s => s.Level.Level == "Y").Evidence.For));
    }

    private static IReadOnlyList<string> Words(SuspectRanking ranking) => new SuspectWords(ranking, "Soft").Answer();
}
