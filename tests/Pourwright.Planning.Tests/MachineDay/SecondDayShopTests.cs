using Pourwright.Planning.MachineDay;

namespace Pourwright.Planning.Tests.MachineDay;

public sealed class SecondDayShopTests
{
    /// <summary>8 + 14 + 6 + 25 + 30 + 12 = 95 min a piece, and the planer's 14 for each further one of eight: 193 min.</summary>
    [Fact]
    public void EqualPieces_WaitForThePlaner()
    {
        var day = DayPromise.Of(Day(8));
        Assert.Equal((95 + 7 * 14, true), (day.WithOurOrder.MakespanMinutes, day.WithOurOrder.IsProved));
        Assert.Equal(193, day.Order.EndMinutes);
    }

    /// <summary>A second planer: the one saw takes a piece each 6 min, so sanding becomes what people wait for.</summary>
    [Fact]
    public void SecondPlaner_ShortensTheDay()
    {
        var (one, two) = (DayPromise.Of(Day(12)), DayPromise.Of(Day(12, new() { Planers = 2 })));
        Assert.True(two.WithOurOrder.IsProved);
        Assert.InRange(two.WithOurOrder.MakespanMinutes, 100, one.WithOurOrder.MakespanMinutes - 30);
        Assert.InRange(two.PromisedMinutes, 100, one.PromisedMinutes - 30);
    }

    [Fact]
    public void PieceReadyLater_IsNotTouchedBefore()
    {
        var day = new SecondDayShop([new("late", 120, new()), new("early", 0, new())], new());
        var promise = DayPromise.Of(day);
        Assert.Empty(ShopChecker.Faults(day.Case, promise.WithOurOrder));
        Assert.Equal(["early", "late"], promise.Order.Pieces.Select(p => p.Piece));
        Assert.Equal(120, promise.Order.Pieces[1].Stages[0].StartMinutes);
        Assert.Equal(120 + 95, promise.Order.EndMinutes);
    }

    [Fact]
    public void RunOrder_NamesEachStageOfAPiece()
    {
        var day = new SecondDayShop([new("oak", 5, new() { Saw = 0 })], new());
        var run = Assert.Single(RunOrder.Of(day, DayOrder.Unplanned(day.Case)).Pieces);
        Assert.Equal(
            [
                new(SecondDayStage.Demold, 0, 5, 13), new(SecondDayStage.Planer, 0, 13, 27), new(SecondDayStage.CoarseSand, 0, 27, 52),
                new(SecondDayStage.FineSand, 0, 52, 82), new(SecondDayStage.FirstCoat, 0, 82, 94),
            ],
            run.Stages);
    }

    /// <summary>Nine sanders of 25 and 30 min at four places: 9 × 55/4 = 123.75 min, and 28 before the first, 12 after the last.</summary>
    [Fact]
    public void FineGritsAtTheCoarsePlaces_ShareThem()
    {
        var (apart, shared) = (Day(9, new() { Planers = 9, Saws = 9 }), Day(9, new() { Planers = 9, Saws = 9, FineSand = null }));
        Assert.Equal(6, apart.Case.Stages.Count);
        Assert.Equal(5, shared.Case.Stages.Count);
        Assert.InRange(ShopSolver.Solve(shared.Case, ShopEffort.Day).LowerBoundMinutes, 28 + 124 + 12, 230);
    }

    [Fact]
    public void StageWithoutPlaces_IsRefused() => Assert.Equal(
        "Piece 0 takes 6 min of Saw, for which there are 0 places; give it one, or 0 min.",
        Assert.Throws<ArgumentException>(() => Day(1, new() { Saws = 0 })).Message);

    private static SecondDayShop Day(int pieces, SecondDayStations? stations = null) => new(
        [.. Enumerable.Range(0, pieces).Select(p => new SecondDayPiece($"{p}", 0, new()))], stations ?? new());
}
