using Pourwright.Evidence.Counts;
using Pourwright.Evidence.Suspects;
using static Pourwright.Evidence.Suspects.Factor;

namespace Pourwright.Evidence.Tests.Suspects;

public sealed class RankSuspectsTests
{
    // Invented: 11 of 14 pieces of X, 3 of 120 others; two sites, two instructors each with and without the lot.
    internal static SuspectCase BadLot() => new SuspectCase()
        .Add(6, 1, (LotA, "X"), (Site, "north"), (Instructor, "Kim"), (LotB, "B1"))
        .Add(5, 2, (LotA, "X"), (Site, "south"), (Instructor, "Lou"), (LotB, "B2"))
        .Add(2, 58, (LotA, "Y"), (Site, "north"), (Instructor, "Kim"), (LotB, "B2"))
        .Add(1, 59, (LotA, "Z"), (Site, "south"), (Instructor, "Lou"), (LotB, "B1"));

    [Fact]
    public void BadLot_AmongOthers_StandsFirstWithItsCounts()
    {
        var first = BadLot().Rank().Suspects[0];
        Assert.Equal((LotA, "X", 14), (first.Level.Factor, first.Level.Level, first.Level.Pieces));
        Assert.Equal(new TwoByTwo(11, 3, 3, 117), first.Counts);
        Assert.Equal(3.010415437015611e-11, Math.Exp(first.LnP), 1e-20);
        // Wilson of 11 of 14: 52 to 92 %.
        Assert.Equal((0.52, 0.92), (Math.Round(first.Rate.Low, 2), Math.Round(first.Rate.High, 2)));
    }

    // Both instructors' and both sites' other pieces are nearly all fine, so the lot holds inside each.
    [Fact]
    public void BadLot_HoldsInsideEachInstructorAndSite_IsStrong()
    {
        var first = BadLot().Rank().Suspects[0];
        Assert.Equal(Grade.Strong, first.Grade);
        Assert.Equal([Instructor, Site, LotB], first.Confirmations.Select(c => c.Beside[0]));
        Assert.All(first.Confirmations, c => Assert.Equal(Confirmed.Holds, c.Result));
        Assert.Equal((120, 3), first.SameInstructorsOtherPieces);
    }

    // The same shares among 67 pieces: nothing is confirmed below a hundred, so it stays at some.
    [Fact]
    public void BadLot_AmongFewerThanAHundred_IsSome()
    {
        var first = new SuspectCase().Add(5, 2, (LotA, "X"), (Site, "north")).Add(2, 58, (LotA, "Y"), (Site, "north")).Rank().Suspects[0];
        Assert.Equal((Grade.Some, 1), (first.Grade, first.Round));
        Assert.Empty(first.Confirmations);
    }

    // B1 went with the lot in 10 of its 20 pieces: by itself it looks bad (10/20 against 1/40), without the lot it is fine.
    [Fact]
    public void Bystander_ThatWentWithTheLot_IsNotBlamedOnceTheLotIsLeftOut()
    {
        var ranking = new SuspectCase()
            .Add(10, 0, (LotA, "X"), (LotB, "B1")).Add(5, 0, (LotA, "X"), (LotB, "B2"))
            .Add(0, 10, (LotA, "Y"), (LotB, "B1")).Add(1, 34, (LotA, "Y"), (LotB, "B2")).Rank();
        var bystander = ranking.Suspects.Single(s => s.Level.Level == "B1");
        Assert.True(Math.Exp(bystander.LnP) < 0.01);
        Assert.Equal(["X"], ranking.CalledOut.Select(s => s.Level.Level));
        Assert.Equal(new TwoByTwo(0, 10, 1, 34), bystander.CountsLeft);
        Assert.Equal(Grade.TooLittle, bystander.Grade);
    }

    // Two lots are bad, each by itself: both are called out, the worse one first.
    [Fact]
    public void TwoBadLots_AreCalledOutOneAfterTheOther()
    {
        var ranking = new SuspectCase().Add(9, 1, (LotA, "X")).Add(7, 3, (LotA, "Y")).Add(1, 59, (LotA, "Z")).Rank();
        Assert.Equal([("X", 1), ("Y", 2)], ranking.CalledOut.Select(s => (s.Level.Level, s.Round!.Value)));
        Assert.Equal(new TwoByTwo(7, 3, 1, 59), ranking.Suspects[1].CountsLeft);
    }

    // Bad lots without end: after four nobody further is called out.
    [Fact]
    public void SixBadLots_FourAreCalledOut() => Assert.Equal(4, Enumerable.Range(1, 6)
        .Aggregate(new SuspectCase().Add(0, 200, (LotA, "good")), (all, i) => all.Add(10, i, (LotA, $"bad {i}"))).Rank().CalledOut.Count());

    // X and B1 share 9 of 10 pieces.
    [Fact]
    public void LotAndHardener_UsedTogetherThroughout_CannotBeToldApart()
    {
        var first = new SuspectCase()
            .Add(8, 1, (LotA, "X"), (LotB, "B1")).Add(1, 0, (LotA, "X"), (LotB, "B2"))
            .Add(1, 120, (LotA, "Y"), (LotB, "B2")).Rank().Suspects[0];
        Assert.Equal((LotB, "B1"), first.Aliases.Select(a => (a.Factor, a.Level)).Single());
        Assert.Equal(Grade.Some, first.Grade);
    }

    // X and B1 share 5 of 10: the other pieces tell them apart.
    [Fact]
    public void LotAndHardener_SharingHalf_AreToldApart() => Assert.Empty(new SuspectCase()
        .Add(5, 0, (LotA, "X"), (LotB, "B1")).Add(5, 0, (LotA, "X"), (LotB, "B2"))
        .Add(0, 5, (LotA, "Y"), (LotB, "B1")).Add(1, 60, (LotA, "Y"), (LotB, "B2")).Rank().Suspects[0].Aliases);

    // Ten pieces without a record of their lot, all defective: neither counted with X nor with the others.
    [Fact]
    public void NoRecord_IsUnknownOnNeitherSide()
    {
        var first = new SuspectCase().Add(6, 2, (LotA, "X")).Add(1, 40, (LotA, "Y")).Add(10, 0, (LotA, "")).Rank().Suspects[0];
        Assert.Equal(new TwoByTwo(6, 2, 1, 40), first.Counts);
        Assert.Equal((10, 10), first.Unrecorded);
    }

    // A piece of two pours has both lots and counts with each.
    [Fact]
    public void PieceOfTwoLots_CountsWithBoth()
    {
        var ranking = new SuspectCase().Add(4, 0, (LotA, "X"), (LotA, "Y")).Add(0, 6, (LotA, "X")).Add(0, 9, (LotA, "Y")).Rank();
        Assert.Equal(new TwoByTwo(4, 6, 0, 9), ranking.Suspects.Single(s => s.Level.Level == "X").Counts);
        Assert.Equal(new TwoByTwo(4, 9, 0, 6), ranking.Suspects.Single(s => s.Level.Level == "Y").Counts);
    }

    // Three pieces, all defective, of nine with three defective: 1/C(9, 3) = 0.0119 among three lots compared could be called
    // out; with two defective pieces the least chance is C(3, 2)/C(9, 2) = 0.083 and nothing could.
    [Theory]
    [InlineData(3, true)]
    [InlineData(2, false)]
    public void FewPieces_CouldTellOnlyWhereASplitCouldStandOut(int defective, bool could)
    {
        var ranking = new SuspectCase().Add(defective, 3 - defective, (LotA, "X")).Add(0, 3, (LotA, "Y")).Add(0, 3, (LotA, "Z")).Rank();
        Assert.Equal(could, ranking.CouldTell);
        Assert.Equal(could, ranking.CalledOut.Any());
    }

    [Fact]
    public void LevelOfTwoPieces_IsNotTested() => Assert.DoesNotContain(
        new SuspectCase().Add(2, 0, (LotA, "X")).Add(1, 60, (LotA, "Y")).Rank().Suspects, s => s.Level.Level == "X");

    [Fact]
    public void NothingInspected_NamesNobody()
    {
        var ranking = RankSuspects.Of([]);
        Assert.Equal((0, false), (ranking.Pieces, ranking.CouldTell));
        Assert.Empty(ranking.Suspects);
    }

    [Fact]
    public void OrderOfPieces_ChangesNothing()
    {
        var studio = PlantedStudio.Draw(5, 120, Planted.Lot, 0.6, true).Pieces;
        Assert.Equal(Said(studio), Said([.. studio.Reverse()]));
        static IEnumerable<string> Said(IReadOnlyList<InspectedPiece> pieces) => new SuspectWords(RankSuspects.Of(pieces), "Soft").Answer();
    }

    [Fact]
    public void SamePieceTwice_IsRefused()
    {
        var refusal = Assert.Throws<ArgumentException>(() => RankSuspects.Of([new("piece 1", true), new("piece 1", false)]));
        Assert.Contains("piece 1 is listed 2 times", refusal.Message, StringComparison.Ordinal);
    }

    // 4 fine pieces more: P for (5, 2 + k; 1, 45) passes the calling p; the answer turns exactly there.
    [Fact]
    public void PiecesThatWouldChangeIt_Added_DoChangeIt()
    {
        SuspectCase Case() => new SuspectCase().Add(5, 2, (LotA, "X")).Add(1, 45, (LotA, "Y"));
        var more = Case().Rank().Suspects[0].PiecesThatWouldChangeIt!.Value;
        Assert.NotEmpty(Case().Add(0, more - 1, (LotA, "X")).Rank().CalledOut);
        Assert.Empty(Case().Add(0, more, (LotA, "X")).Rank().CalledOut);
    }

    // The worse instructor poured all pieces of the lot and most of his others failed too: inside his own pieces the lot does not hold.
    [Fact]
    public void LotThatOneBadInstructorPoured_IsNotStrong()
    {
        var ranking = new SuspectCase()
            .Add(14, 6, (LotA, "X"), (Instructor, "Kim"), (Site, "north")).Add(9, 6, (LotA, "Y"), (Instructor, "Kim"), (Site, "north"))
            .Add(1, 40, (LotA, "Y"), (Instructor, "Lou"), (Site, "north")).Add(1, 40, (LotA, "Z"), (Instructor, "Lou"), (Site, "south")).Rank();
        Assert.Equal((Instructor, "Kim"), (ranking.Suspects[0].Level.Factor, ranking.Suspects[0].Level.Level));
        Assert.DoesNotContain(ranking.CalledOut, s => s.Level.Level == "X");
    }

    [Theory]
    [InlineData(Temperature, 15.9, "under 16 °C")]
    [InlineData(Temperature, 16, "16 to 18 °C")]
    [InlineData(Humidity, 70, "70 % or more")]
    [InlineData(RatioDeviation, -3, "-5 to -2 %")]
    [InlineData(ConversionAtDemold, 0.92, "0.9 to 0.95")]
    public void Band_Numbers_StandBeforeAnyoneLooks(Factor factor, double value, string band) => Assert.Equal(band, Bands.Level(factor, value));

    [Fact]
    public void Band_NotANumber_IsRefused() => Assert.Throws<ArgumentOutOfRangeException>(() => Bands.Level(Humidity, double.NaN));
}
