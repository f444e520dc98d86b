using Pourwright.Evidence.Suspects;
using static Pourwright.Evidence.Suspects.Factor;

namespace Pourwright.Evidence.Tests.Suspects;

public sealed class SuspectWordsTests
{
    [Fact]
    public void BadLot_IsToldWithCountsOnBothSides()
    {
        var answer = Of(RankSuspectsTests.BadLot());
        Assert.Equal("Soft: 14 of 134 pieces inspected. 9 things were compared, which the grades allow for. A lot X: strong.", answer[0]);
        Assert.StartsWith(
            "Strong: 11 of 14 pieces with A lot X have this defect (soft), against 3 of 120 others. By chance alone a split this uneven would turn up less than once in a million times. "
            + "The true rate behind these 14 pieces is probably 52 to 92 %. Of the 120 other pieces of the same instructors 3 are defective. "
            + "Compared inside each instructor, inside each site and inside each B lot, it holds.", answer[1], StringComparison.Ordinal);
    }

    // The number is proved in RankSuspectsTests, by adding so many pieces.
    [Fact]
    public void SmallBadLot_SaysWhatWouldChangeTheAnswer()
    {
        var studio = new SuspectCase().Add(5, 2, (LotA, "X")).Add(1, 45, (LotA, "Y"));
        Assert.EndsWith(
            $"What would change our mind: {studio.Rank().Suspects[0].PiecesThatWouldChangeIt} further pieces with it, none of them defective, and it would stand out no longer.",
            Of(studio)[1], StringComparison.Ordinal);
    }

    // 9 of 10: Wilson from 0.5958 on, (1 − 0.5958)⁴ = 0.027 ≤ 0.05 < (1 − 0.5958)³, so four fine pieces clear it.
    [Fact]
    public void CannotTellApart_NamesBothAndThePoursThatWouldTell()
    {
        var answer = Of(new SuspectCase().Add(8, 1, (LotA, "X"), (LotB, "B1")).Add(1, 0, (LotA, "X"), (LotB, "B2")).Add(1, 120, (LotA, "Y"), (LotB, "B2")));
        Assert.Contains("Cannot tell apart: A lot X and B lot B1, since nearly the same pieces have them. "
            + "This would tell: 4 test pieces with A lot X and another B lot, and as many with B lot B1 and another A lot; small, inside what the data sheet allows", answer[1], StringComparison.Ordinal);
        Assert.Contains("safety data sheets", answer[1], StringComparison.Ordinal);
    }

    [Fact]
    public void TooFew_SaysSoAndWhy() => Assert.Contains(
        "Too few to say anything", Of(new SuspectCase().Add(1, 2, (LotA, "X")).Add(0, 5, (LotA, "Y")))[0], StringComparison.Ordinal);

    // Five defects over two sides of 23: at least three on a given one in half of all cases, by symmetry.
    [Fact]
    public void NothingStandsOut_ClearsNothing()
    {
        var answer = Of(new SuspectCase().Add(3, 20, (LotA, "X")).Add(2, 21, (LotA, "Y")));
        Assert.Contains("none stands out: too little to say. That clears nothing: in invented studios a lot of up to twenty pieces that spoils one in three", answer[0], StringComparison.Ordinal);
        Assert.StartsWith("Too little to say: 3 of 23 pieces with A lot X have this defect (soft), against 2 of 23 others. By chance alone a split this uneven would turn up about once in 2 times. Among 2 things compared one like it turns up by chance often enough.", answer[1], StringComparison.Ordinal);
    }

    [Fact]
    public void Unrecorded_IsNamedAsNotCounted() => Assert.Contains(
        "Not counted, since their A lot is not on record: 10 pieces, 4 of them defective.",
        Of(new SuspectCase().Add(6, 2, (LotA, "X")).Add(1, 40, (LotA, "Y")).Add(4, 6, (LotA, "")))[1], StringComparison.Ordinal);

    [Theory]
    [InlineData(0.0124, "about once in 81 times")]
    [InlineData(0.00044, "about once in 2,300 times")]
    [InlineData(0.25, "about once in 4 times")]
    [InlineData(0.7, "more often than not")]
    [InlineData(1e-7, "less than once in a million times")]
    public void Chance_IsSaidAsOnceInSoMany(double p, string words) => Assert.Contains(words, SuspectWords.Chance(p), StringComparison.Ordinal);

    // Whatever is ranked: never how probable guilt is, and no share without its counts.
    [Fact]
    public void Words_OfManyStudios_NeverSpeakOfGuilt() => Assert.All(Enumerable.Range(1, 30), seed =>
    {
        var text = string.Join('\n', new SuspectWords(RankSuspects.Of(PlantedStudio.Draw(seed, 120, Planted.Lot, 0.6, true).Pieces), "Soft").Answer());
        Assert.DoesNotContain("guilt", text, StringComparison.OrdinalIgnoreCase);
        Assert.DoesNotContain("probability", text, StringComparison.OrdinalIgnoreCase);
        Assert.DoesNotContain("NaN", text, StringComparison.Ordinal);
        Assert.Matches(@"\d+ of \d+ pieces with .+ have this defect \(soft\), against \d+ of \d+ others", text);
    });

    private static IReadOnlyList<string> Of(SuspectCase pieces) => new SuspectWords(pieces.Rank(), "Soft").Answer();
}
