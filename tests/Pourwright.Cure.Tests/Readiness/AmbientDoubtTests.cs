using Pourwright.Cure.Advice;
using Pourwright.Cure.Ladder;
using Pourwright.Cure.Learning;
using Pourwright.Cure.Readiness;

namespace Pourwright.Cure.Tests.Readiness;

/// <summary>A room is known where it was logged and less and less where it is yet to come. 30 mm on a board, at 20 °C: demold near 50 h.</summary>
public class AmbientDoubtTests
{
    private static readonly CureSpread AirAlone = Pieces.NoSpread with { AmbientOffsetSdKelvin = 1, Draws = 40 };

    // Shift times doubt: 1 K and a doubt of 2 are 2 K and a doubt of 1, to the last bit (2 is a power of two).
    [Fact]
    public void Doubt_OfTwo_IsTwiceTheSpread()
    {
        var doubled = LadderForecaster.Forecast(Room(new AmbientPoint(0, 20, 2)), AirAlone);
        var wide = LadderForecaster.Forecast(Room(new AmbientPoint(0, 20)), AirAlone with { AmbientOffsetSdKelvin = 2 });
        Assert.Equal((wide.Gel, wide.Demold, wide.Handle, wide.Peak), (doubled.Gel, doubled.Demold, doubled.Handle, doubled.Peak));
    }

    [Fact]
    public void Doubt_OfNothing_LeavesNoSpread()
    {
        var known = LadderForecaster.Forecast(Room(new AmbientPoint(0, 20, 0)), AirAlone);
        var still = LadderForecaster.Forecast(Room(new AmbientPoint(0, 20)), Pieces.NoSpread);
        Assert.Equal(still.Demold.LikelyHours!.Value, known.Demold.EarliestHours!.Value, 1e-9);
        Assert.Equal(still.Demold.LikelyHours!.Value, known.Demold.SafeHours!.Value, 1e-9);
    }

    // The later the doubt begins, the less of the cure it can reach; what was over by then is as sure as if nothing were in doubt,
    // but for the 0.2 K within which a draw keeps to the bends of its air: 0.1 h of gel.
    [Fact]
    public void Doubt_FromATimeOn_ReachesOnlyTheGatesAfterIt()
    {
        PieceLadder[] from = [.. new double[] { 0, 12, 30, 120 }.Select(hours =>
            LadderForecaster.Forecast(Room(new(0, 20, 0), new(hours + 1, 20, 0), new(hours + 2, 20, 2)), AirAlone))];
        double[] widths = [.. from.Select(f => Width(f.Demold))];
        Assert.True(widths[0] > widths[1] && widths[1] > widths[2] && widths[2] > widths[3]);
        Assert.Equal(0, widths[3], 0.02);
        Assert.True(Width(from[0].Gel) > 0.5);
        Assert.Equal(0, Width(from[2].Gel), 0.1);
    }

    // A straight line of doubt from 0 at the pour to 2 at 100 h against one that also names its middle: the same line.
    [Fact]
    public void Doubt_BetweenPoints_IsOnTheStraightLine()
    {
        var ends = LadderForecaster.Forecast(Room(new(0, 20, 0), new(100, 20, 2)), AirAlone);
        var middle = LadderForecaster.Forecast(Room(new(0, 20, 0), new(50, 20, 1), new(100, 20, 2)), AirAlone);
        Assert.Equal(ends.Demold.SafeHours!.Value, middle.Demold.SafeHours!.Value, 0.01);
        Assert.Equal(ends.Demold.EarliestHours!.Value, middle.Demold.EarliestHours!.Value, 0.01);
    }

    [Theory]
    [InlineData(-0.1)]
    [InlineData(20.1)]
    [InlineData(double.NaN)]
    public void Doubt_OutsideItsRange_IsRefused(double doubt)
    {
        var refusal = Assert.Throws<CureRangeException>(() => LadderForecaster.Forecast(Room(new AmbientPoint(0, 20, doubt))));
        Assert.Equal("Doubt of the ambient (multiple of its spread)", refusal.Quantity);
    }

    // The room's own course is in great doubt; held from the pour on at the same temperature it is in that of a heated room, 1.
    [Fact]
    public void HoldRoom_OfARoomInDoubt_LeavesThatOfAHeatedRoom()
    {
        var answer = new WhatIf(PieceDraws.Of(AirAlone)).Ask(new(Room(new AmbientPoint(0, 20, 4)), 72, LadderGate.Demold), new HoldRoom(20, 0));
        var held = LadderForecaster.Forecast(Room(new AmbientPoint(0, 20)) with { HorizonHours = 336 }, AirAlone)[LadderGate.Demold];
        Assert.Equal(held.Times, answer.After.Rung.Times);
        Assert.True(Width(answer.Before.Rung.Times) > 3 * Width(answer.After.Rung.Times));
    }

    // Held for ten hours only and then left to its own course, the room is as doubtful as before from there on.
    [Fact]
    public void HoldRoom_UntilATime_GivesBackTheDoubtToo()
    {
        var question = new Question(Room(new AmbientPoint(0, 20, 4)), 72, LadderGate.Demold);
        var (forGood, shortly) = (new WhatIf(PieceDraws.Of(AirAlone)).Ask(question, new HoldRoom(20, 0)), new WhatIf(PieceDraws.Of(AirAlone)).Ask(question, new HoldRoom(20, 0, 10)));
        Assert.True(Width(shortly.After.Rung.Times) > 2 * Width(forGood.After.Rung.Times));
        Assert.True(Width(shortly.After.Rung.Times) < Width(shortly.Before.Rung.Times));
    }

    [Fact]
    public void Learning_OfAPieceInALoggedRoom_SpreadsLess()
    {
        LearningPrior airAlone = new()
        {
            ResinRateLnSd = 0, LotRateLnSd = 0, SiteRateLnSd = 0, PourRateLnSd = 0, Others = AirAlone, Draws = 200,
        };
        double Learned(double doubt) => Width(ResinBelief.Before(airAlone).Given(new()
        {
            Pour = "p", Lot = "l", Site = "s", Piece = Room(new AmbientPoint(0, 20, doubt)),
        }).Forecast.Demold);
        Assert.True(Learned(2) > 8 * Learned(0.2));
    }

    private static PieceCase Room(params AmbientPoint[] ambient) => Pieces.Deep(30) with { Ambient = ambient };

    private static double Width(GateTimes times) => times.SafeHours!.Value - times.EarliestHours!.Value;
}
