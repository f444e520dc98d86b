using Pourwright.Studio.Classes.Moulds;
using Pourwright.Studio.Refusals;
using Pourwright.Testing;

namespace Pourwright.Studio.Tests.Classes;

public sealed class MouldUseTests
{
    private static readonly MouldRecord Mould = new()
    {
        Name = "studios/alder/sites/north/moulds/tray",
        Site = SampleStudio.North,
        DisplayName = "Tray",
        LengthMm = 400,
        WidthMm = 250,
        DepthMm = 40,
        Count = 5,
    };

    // Holds [0, 10) of 2, [5, 15) of 1, [10, 20) of 3.
    [Theory]
    [InlineData(0, 5, 2)]
    [InlineData(0, 6, 3)]
    [InlineData(9, 10, 3)]
    [InlineData(0, 20, 4)]
    [InlineData(10, 15, 4)]
    [InlineData(15, 20, 3)]
    [InlineData(20, 30, 0)]
    public void Most_AtOneInstant_CountsWhatOverlaps(long startMs, long endMs, int most) =>
        Assert.Equal(most, MouldUse.Most([Hold(2, 0, 10), Hold(1, 5, 15), Hold(3, 10, 20)], startMs, endMs));

    [Theory]
    [InlineData(400, 250, 30, true)]
    [InlineData(250, 400, 30, true)]
    [InlineData(400, 250, 29, false)]
    [InlineData(399, 250, 30, false)]
    [InlineData(500, 300, 60, true)]
    public void Piece_GoesIntoAMould_EitherWayRound(double lengthMm, double widthMm, double depthMm, bool fits) =>
        Assert.Equal(fits, (Mould with { LengthMm = lengthMm, WidthMm = widthMm, DepthMm = depthMm }).Fits(ClassFacts.Tray));

    // 5 moulds, 3 held by others in the span of the class: 2 are left.
    [Fact]
    public void Book_AsManyAsAreLeft_Holds() => Assert.Equal(2, BookMoulds.Decide(Facts(others: 3), 2).Count);

    [Fact]
    public void Book_OneMore_IsRefusedWithTheNumbers()
    {
        var refusal = Assert.Throws<Refusal>(() => BookMoulds.Decide(Facts(others: 3), 3));

        Assert.Equal((Reasons.MouldsTaken, "3", "5"), (refusal.Reason, refusal.Facts["held_count"], refusal.Facts["mould_count"]));
    }

    [Fact]
    public void Book_AtAnotherTimeThanOthers_TakesAll()
    {
        var facts = Facts(others: 0) with { Others = [Hold(5, ClassFacts.Machine.EndMs, ClassFacts.Machine.EndMs + 1)] };

        Assert.Equal(5, BookMoulds.Decide(facts, 5).Count);
    }

    [Fact]
    public void Book_WithoutSessions_HoldsNothingYet() => Assert.Null(BookMoulds.Decide(Facts(others: 5) with { Sessions = [] }, 5).StartMs);

    [Fact]
    public void Book_MouldOfAnotherSite_IsRefused() => Assert.Equal(Reasons.SiteMismatch, Assert.Throws<Refusal>(() =>
        BookMoulds.Decide(Facts(others: 0) with { Mould = Mould with { Site = SampleStudio.South } }, 1)).Reason);

    [Fact]
    public void Book_TooShallow_IsRefused() => Assert.Equal(Reasons.MouldTooSmall, Assert.Throws<Refusal>(() =>
        BookMoulds.Decide(Facts(others: 0) with { Mould = Mould with { DepthMm = 20 } }, 1)).Reason);

    [Fact]
    public void Cautions_FewerMouldsThanPieces_SayHowMany() =>
        Assert.Equal([Reasons.MouldsShort], Cautions(booked: 1, others: 0).Select(caution => caution.Reason));

    [Fact]
    public void Cautions_HeldByOthersAsWell_SayOverbooked() =>
        Assert.Equal([Reasons.MouldsOverbooked], Cautions(booked: 2, others: 4).Select(caution => caution.Reason));

    [Fact]
    public void Cautions_Enough_SayNothing() => Assert.Empty(Cautions(booked: 2, others: 3));

    private static IReadOnlyList<V1.Caution> Cautions(int booked, int others) => MouldUse.Cautions(
        ClassFacts.Asked(), [Own(booked)], [Mould], [Hold(others, ClassFacts.Pour.StartMs, ClassFacts.Machine.EndMs)], isUsed: true);

    private static MouldHold Own(int count) => Hold(count, ClassFacts.Pour.StartMs, ClassFacts.Machine.EndMs) with { Class = ClassFacts.Class };

    private static BookFacts Facts(int others) => new(
        ClassFacts.Asked(), ClassFacts.Tray, [ClassFacts.Pour, ClassFacts.Machine], Mould,
        [Hold(others, ClassFacts.Pour.EndMs, ClassFacts.Machine.StartMs)]);

    private static MouldHold Hold(int count, long startMs, long endMs) =>
        new() { Mould = Mould.Name, Class = "studios/alder/classes/other", Count = count, StartMs = startMs, EndMs = endMs };
}
