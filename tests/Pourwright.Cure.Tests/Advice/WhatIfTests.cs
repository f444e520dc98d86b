using Pourwright.Cure.Advice;
using Pourwright.Cure.Ladder;
using Pourwright.Cure.Readiness;
using Pourwright.Cure.Tests.Ladder;
using Pourwright.Cure.Tests.Readiness;
using Xunit.Abstractions;

namespace Pourwright.Cure.Tests.Advice;

public class WhatIfTests(ITestOutputHelper output)
{
    private readonly WhatIf plain = new(PieceDraws.Of(Pieces.NoSpread));
    private readonly WhatIf usual = new();

    // Another program, illustrative resin of 40 mm on a bare base, room of 20 °C until 6 to 7 h and then 15 or 25 °C: peak 33.6
    // °C, demold 59.5 h; 62.6 °C, 35.8 h; steady 43.2 °C, 47.2 h. Its ramp ran from 6 to 7 h as ours does.
    [Theory]
    [InlineData(15, 33.6, 59.5)]
    [InlineData(25, 62.6, 35.8)]
    public void HoldRoom_FromTheSixthHour_MovesPeakAndDemoldAsComputed(double celsius, double peakCelsius, double demoldHours)
    {
        var answer = plain.Ask(Demold(Bare(40), 48), new HoldRoom(celsius, 6));
        Assert.Equal(43.2, answer.Before.Peak.LikelyCelsius, 0.1);
        Assert.Equal(47.2, answer.Before.Rung.Times.LikelyHours!.Value, 0.1);
        Assert.Equal(peakCelsius, answer.After.Peak.LikelyCelsius, 0.3);
        Assert.Equal(demoldHours, answer.After.Rung.Times.LikelyHours!.Value, 0.2);
        Assert.IsType<Possible>(answer);
    }

    // The same 47.2 h of another program: it is no matter that the piece itself is only looked at for a day.
    [Fact]
    public void Ask_PieceLookedAtForADay_IsLookedAtForAWeek() =>
        Assert.Equal(47.2, plain.Ask(Demold(Bare(40) with { HorizonHours = 24 }, 48), new HoldRoom(25, 6)).Before.Rung.Times.LikelyHours!.Value, 0.1);

    // 36 mm at 20 °C stay under 80 °C, their hot draws too (40 mm would not). Warmth before the peak feeds it and is refused, with
    // the time from which it no longer does; from then on it is possible and helps.
    [Fact]
    public void HoldRoom_BeforeThePeak_IsRefusedUntilThePeakIsPast()
    {
        var question = Demold(Pieces.Deep(36), 48);
        var refused = Assert.IsType<Refused>(usual.Ask(question, new HoldRoom(28, 2)));
        Assert.Equal(Objection.TooHot, refused.Objection);
        Assert.True(refused.After.Peak.HighCelsius > 80 && refused.Before.Peak.HighCelsius < 80);
        Assert.Equal(usual.PeakIsPastHours(question.Piece), refused.WaitUntilHours);
        var late = Assert.IsType<Possible>(usual.Ask(question, new HoldRoom(28, refused.WaitUntilHours!.Value)));
        output.WriteLine($"wait {refused.WaitUntilHours:0.0} h, {late.Before.ShareReady} to {late.After.ShareReady}");
        Assert.True(late.After.Peak.HighCelsius <= refused.Before.Peak.HighCelsius + 0.5);
        Assert.True(late.After.ShareReady > late.Before.ShareReady + 0.1);
    }

    // Tg − T counts at the temperature of the room: a hold that ends gives the room its own course back.
    [Fact]
    public void HoldRoom_UntilATime_LeavesTheRoomItsOwnCourse()
    {
        var sand = new Question(Pieces.Deep(20), 120, LadderGate.Sand);
        var warmThenCool = plain.Ask(sand, new HoldRoom(34, 30, 100)).After.Rung.Times.LikelyHours!.Value;
        var warmForGood = plain.Ask(sand, new HoldRoom(34, 30)).After.Rung.Times.LikelyHours!.Value;
        Assert.InRange(warmThenCool, 100, 108);
        Assert.True(warmForGood > 150);
    }

    // Two days more move the session, not the piece.
    [Fact]
    public void MoveSession_ByTwoDays_MovesNothingElse()
    {
        var answer = usual.Ask(Demold(Pieces.Deep(), 48), new MoveSession(2));
        Assert.Equal(96, answer.After.SessionAtHours);
        Assert.Equal(answer.Before.Rung, answer.After.Rung);
        Assert.Equal(answer.Before.Peak, answer.After.Peak);
        Assert.False(answer.Before.IsSafe);
        Assert.True(answer.After.IsSafe);
        Assert.True(answer.Before.ShareReady < 0.7 && answer.After.ShareReady >= 0.95);
    }

    [Fact]
    public void SplitPour_InTwo_IsCoolerAndLater()
    {
        var answer = Assert.IsType<Possible>(usual.Ask(Demold(Pieces.Deep(50), 72), new SplitPour(2)));
        Assert.True(answer.Before.Peak.HighCelsius > 100 && answer.After.Peak.HighCelsius < 60);
        Assert.True(answer.After.Rung.Times.LikelyHours > answer.Before.Rung.Times.LikelyHours + 24);
    }

    // 30 mm of the quick resin run away: refused, and waiting does not help. 5 mm of it are ready sooner than of the slow one.
    [Fact]
    public void OtherResin_TooQuickForTheDepth_IsRefused()
    {
        var refused = Assert.IsType<Refused>(usual.Ask(Demold(Pieces.Deep(30), 48), new OtherResin(ResinCureModel.FastCoating)));
        Assert.Equal((Objection.TooHot, null), (refused.Objection, refused.WaitUntilHours));
        var thin = Assert.IsType<Possible>(usual.Ask(Demold(Pieces.Deep(5), 48), new OtherResin(ResinCureModel.FastCoating)));
        Assert.True(thin.After.Rung.Times.SafeHours < thin.Before.Rung.Times.EarliestHours);
    }

    // A quarter kelvin less, or the room left alone, would not have done.
    [Fact]
    public void SmallestWarming_AfterThePeak_IsEnoughAndNotMuchMore()
    {
        var question = Demold(Pieces.Deep(20), 60);
        var answer = Assert.IsType<Possible>(usual.SmallestWarming(question, 24));
        var hold = Assert.IsType<HoldRoom>(answer.Change);
        output.WriteLine($"{hold}: safe {answer.Before.Rung.Times.SafeHours:0.0} to {answer.After.Rung.Times.SafeHours:0.0} h");
        Assert.Equal((24, 54), (hold.FromHours, hold.UntilHours));
        Assert.False(answer.Before.IsSafe);
        Assert.True(answer.After.IsSafe);
        Assert.InRange(hold.Celsius, 20.25, WhatIf.WarmestCelsius);
        Assert.False(usual.Ask(question, hold with { Celsius = hold.Celsius - 0.25 }).After.IsSafe);
    }

    // In steps of 2 K from 20.5 °C the last before 35 °C is 34.5 °C: a session between the safe times of both asks for more than that.
    [Fact]
    public void SmallestWarming_ThatOnlyTheWarmestRoomBrings_IsFound()
    {
        var piece = Pieces.Deep(20, 20.5);
        double SafeHours(double celsius) => usual.Ask(Demold(piece, 60), new HoldRoom(celsius, 24)).After.Rung.Times.SafeHours!.Value;
        var question = Demold(piece, (SafeHours(34.5) + SafeHours(WhatIf.WarmestCelsius)) / 2);
        var answer = Assert.IsType<Possible>(usual.SmallestWarming(question, 24, coolBeforeHours: 0));
        Assert.InRange(Assert.IsType<HoldRoom>(answer.Change).Celsius, 34.5, WhatIf.WarmestCelsius);
        Assert.True(answer.After.IsSafe);
    }

    [Fact]
    public void SmallestWarming_OfASessionThatIsSafe_ChangesNothing()
    {
        var answer = usual.SmallestWarming(Demold(Pieces.Deep(), 120), 24);
        Assert.Null(Assert.IsType<Possible>(answer).Change);
        Assert.Equal(answer.Before, answer.After);
    }

    // Deep, near its limit and wanted early: what would make it safe in time feeds the peak.
    [Fact]
    public void SmallestWarming_BeforeThePeak_IsRefusedWithTheReason()
    {
        var refused = Assert.IsType<Refused>(usual.SmallestWarming(Demold(Pieces.Deep(37), 48), 1));
        Assert.Equal(Objection.TooHot, refused.Objection);
        Assert.True(refused.After.Peak.HighCelsius > 80);
        Assert.InRange(refused.WaitUntilHours!.Value, 10, 30);
    }

    [Fact]
    public void SmallestWarming_ForASessionHoursAway_IsNotByThen()
    {
        var refused = Assert.IsType<Refused>(usual.SmallestWarming(Demold(Pieces.Deep(10), 14), 8));
        Assert.Equal((Objection.NotByThen, null), (refused.Objection, refused.WaitUntilHours));
    }

    // The resin that freezes early never goes over the planer at 12 °C; hardened warm and cooled, its Tg stands high enough.
    [Fact]
    public void SmallestWarming_OfAPieceThatStalls_FreesIt()
    {
        var answer = Assert.IsType<Possible>(
            usual.SmallestWarming(new(PieceLadderTests.Frozen(12), 168, LadderGate.Handle), 48));
        Assert.IsType<Stalls>(answer.Before.Rung);
        Assert.Equal(0, answer.Before.ShareReady);
        Assert.IsType<Opens>(answer.After.Rung);
        Assert.True(answer.After.IsSafe);
    }

    private static Question Demold(PieceCase piece, double sessionAtHours) => new(piece, sessionAtHours, LadderGate.Demold);

    private static PieceCase Bare(double depthMm) => Pieces.Deep(depthMm) with { BoardThicknessMm = 0 };
}
