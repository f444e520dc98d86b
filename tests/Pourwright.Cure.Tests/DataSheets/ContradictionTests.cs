using Pourwright.Cure.DataSheets;

namespace Pourwright.Cure.Tests.DataSheets;

public class ContradictionTests
{
    private static readonly DemoldTime Quick = new(4, 5, 20);
    private static readonly GelTime Slow = new(20, 20);

    // 5 mm stay within a few kelvin of the room: what is glass after 4 h has gelled before, in a film as well.
    [Fact]
    public void Sheet_WhoseThinCastingIsHardBeforeItsFilmGels_IsRefusedWithBothNumbers()
    {
        var refusal = Assert.Throws<ContradictorySheetException>(() => SheetCalibrator.Calibrate(Sheets.Of(Quick, Slow)));
        Assert.Equal((Quick, Slow), (refusal.First.Figure, refusal.Second.Figure));
        Assert.Contains("Demold time of 5 mm at 20 °C is 4 h", refusal.Message);
        Assert.Contains("Gel time of a thin film at 20 °C is 20 h", refusal.Message);
        Assert.InRange(refusal.First.Modelled, 5, 15);
        Assert.InRange(refusal.Spreads, 3, 6);
    }

    [Fact]
    public void Sheet_WithEitherOfTwoContradictingFigures_IsFitted()
    {
        foreach (var alone in (SheetFigure[])[Quick, Slow])
            Assert.InRange(Assert.Single(SheetCalibrator.Calibrate(Sheets.Of(alone)).Figures).Misfit, -2, 2);
    }

    // 40 mm heat themselves: 4 h beside a film of 20 h is a casting close to running away, which is odd but no contradiction.
    // A pot life of six hours and a full cure of a week leave no such resin; one of the two named is the demold time.
    [Fact]
    public void Sheet_WhoseDeepCastingIsTooQuickForAllElse_NamesIt()
    {
        var demold = new DemoldTime(4, 40, 20);
        SheetFigure[] slow = [new GelTime(20, 20), new PotLife(6, 1_000_000, Vessel.Cup, 20), new FullCureTime(150, 20)];
        var refusal = Assert.Throws<ContradictorySheetException>(() => SheetCalibrator.Calibrate(Sheets.Of([demold, .. slow])));
        Assert.Equal(demold, refusal.First.Figure);
        Assert.Equal(slow, SheetCalibrator.Calibrate(Sheets.Of(slow)).Figures.Select(f => f.Figure));
        Assert.NotEmpty(SheetCalibrator.Calibrate(Sheets.Of(demold, slow[0])).Cautions);
    }

    // Slower when warmer: 10 h at 20 °C beside 40 h at 30 °C, where E = 48 kJ/mol expects 5.2 h.
    [Fact]
    public void Sheet_WhoseResinGelsSlowerWhenWarm_IsRefused()
    {
        var refusal = Assert.Throws<ContradictorySheetException>(
            () => SheetCalibrator.Calibrate(Sheets.Of(new GelTime(10, 20), new MaximumDepth(20, 20), new GelTime(40, 30))));
        Assert.Equal((10, 40), (refusal.First.Figure.Stated, refusal.Second.Figure.Stated));
    }
}
