using CsCheck;
using Pourwright.Cure.Ladder;
using Pourwright.Cure.WorkPlan;

namespace Pourwright.Cure.Tests.WorkPlan;

/// <summary>Habits of the bench: common practice, no source; the arithmetic on them is what is checked.</summary>
public class SecondDayTests
{
    private static readonly WorkSettings Usual = new();
    private static readonly SandedFace Face = new(400, 250);

    // 40 mm read, 36 wanted: 41.5 takes unread high spots only; 39.5 is below every reading, the face is clean; turned, 37.5 and
    // 36. At the highest reading they take 0, 0.5, 2 and 1.5 mm = 4 mm. Four passes and a turn: 4 · 1 + 2 min.
    [Fact]
    public void Planing_OfFortyMillimetres_BeginsOverTheReading()
    {
        WorkStep[] expected =
        [
            new PlanerPass(1, 41.5, 0, 1), new PlanerPass(1, 39.5, 0.5, 1), new TurnOver(2),
            new PlanerPass(2, 37.5, 2, 1), new PlanerPass(2, 36, 1.5, 1),
        ];
        Assert.Equal(expected, SecondDay.Planing(Piece([40], 36), Usual));
    }

    // 43 and 39 mm, 36 wanted: 44.5, 42.5, 40.5, 38.5 until below 39; turned, 36.5 and 36.
    [Fact]
    public void Planing_OfAnUnevenPiece_CleansOneFaceBeforeItTurns()
    {
        var steps = SecondDay.Planing(Piece([43, 41, 39], 36), Usual).ToArray();
        Assert.Equal([44.5, 42.5, 40.5, 38.5, 36.5, 36], steps.OfType<PlanerPass>().Select(p => p.SettingMm));
        Assert.Equal(4, Array.FindIndex(steps, s => s is TurnOver));
    }

    [Fact]
    public void Planing_OfAnyPiece_EndsAtItsTargetAndNeverBitesDeeperThanAPass()
    {
        var pieces = Gen.Select(Gen.Double[0.6, 12].Array[1, 9], Gen.Double[10, 60], Gen.Double[0.3, 3], Gen.Double[0, 2]);
        pieces.Sample((over, target, pass, highSpots) =>
        {
            var piece = Piece([.. over.Select(mm => target + mm)], target);
            var steps = SecondDay.Planing(piece, Usual with { PassMm = pass, HighSpotsMm = highSpots }).ToArray();
            var passes = steps.OfType<PlanerPass>().ToArray();
            Assert.All(passes, p => Assert.InRange(p.TakesMm, 0, pass + 1e-9));
            Assert.True(passes[0].SettingMm >= piece.ThicknessMm.Max());
            Assert.True(passes.Last(p => p.Face == 1).SettingMm < piece.ThicknessMm.Min());
            Assert.Equal(target, passes[^1].SettingMm);
            Assert.Equal(2, passes[^1].Face);
            Assert.Equal(piece.ThicknessMm.Max() - target, passes.Sum(p => p.TakesMm), 1e-9);
        });
    }

    [Theory]
    [InlineData(Cutter.HelicalHead, "120 150 180 220 320")]
    [InlineData(Cutter.StraightKnives, "100 120 150 180 220 320")]
    [InlineData(Cutter.RouterSled, "80 100 120 150 180 220 320")]
    public void Grits_AfterEachCutter_BeginWhereItLeftTheFace(Cutter cutter, string grits)
    {
        var steps = SecondDay.Sanding(Piece([40], 36) with { Cutter = cutter }, Usual).Cast<SandGrit>();
        Assert.Equal(grits, string.Join(' ', steps.Select(s => s.Grit)));
    }

    // 400 x 250 mm under a 150 mm disc, lanes 75 mm apart: ⌈250/75⌉ = 4 along, ⌈400/75⌉ = 6 across, 4 · 400 + 6 · 250 = 3100
    // mm, at 25 mm/s 124 s = 2.0667 min, and a minute to change. As end grain twice: 4.1333 + 1.
    [Theory]
    [InlineData(false, 3.0667)]
    [InlineData(true, 5.1333)]
    public void Sanding_OfAFace_IsItsLanesAtTheSpeedOfTheDisc(bool endGrain, double minutes)
    {
        var piece = Piece([40], 36) with { Faces = [Face with { EndGrain = endGrain }] };
        var grit = SecondDay.Sanding(piece, Usual).Cast<SandGrit>().First();
        Assert.Equal(10, grit.Lanes);
        Assert.Equal(minutes, grit.Minutes, 1e-4);
    }

    // Two faces: 10 lanes and the 2 + 4 of 300 x 150 mm; 3100 mm, and 2 · 300 + 4 · 150 = 1200, at 25 mm/s 172 s and a minute.
    [Fact]
    public void Sanding_OfTwoFaces_IsTheLanesOfBoth()
    {
        var grit = SecondDay.Sanding(Piece([40], 36) with { Faces = [Face, new(300, 150)] }, Usual).Cast<SandGrit>().First();
        Assert.Equal(10 + 6, grit.Lanes);
        Assert.Equal((3100 + 1200) / 25.0 / 60 + 1, grit.Minutes, 1e-9);
    }

    // 150 mm are exactly two lanes of 75.
    [Fact]
    public void Lanes_OfAWholeNumberOfHalfDiscs_AreNoMore()
    {
        var piece = Piece([40], 36) with { Faces = [new(300, 150)] };
        Assert.Equal(2 + 4, SecondDay.Sanding(piece, Usual).Cast<SandGrit>().First().Lanes);
    }

    // Two coats: 15 min soak each, 24 h between and 24 h after: 48.5 h of waiting, 2 · (15 + 10) min of work.
    [Fact]
    public void Finishing_InTwoCoats_WipesOffBeforeEveryRest()
    {
        WorkStep[] expected =
        [
            new Coat(1, 15), new Wait(0.25), new WipeOff(10), new Wait(24),
            new Coat(2, 15), new Wait(0.25), new WipeOff(10), new Wait(24),
        ];
        Assert.Equal(expected, SecondDay.Finishing(Usual));
    }

    // Between coats 12 h, after the last 72 h.
    [Fact]
    public void Finishing_InThreeCoats_WaitsForTheHandOverAfterTheLastAlone()
    {
        var waits = Usual with { Finish = new() { Coats = 3, RecoatHours = 12, HandOverHours = 72 } };
        Assert.Equal(
            [0.25, 12, 0.25, 12, 0.25, 72], SecondDay.Finishing(waits).OfType<Wait>().Select(wait => wait.Hours));
    }

    // 41.5 is over the reading of 40; a pass of 1.5 is at it, which leaves it as it was, and one more is below.
    [Fact]
    public void Planing_SetAtTheLowestReading_TakesOnePassMore()
    {
        var passes = SecondDay.Planing(Piece([40], 36), Usual with { PassMm = 1.5 }).OfType<PlanerPass>().Where(p => p.Face == 1);
        Assert.Equal([41.5, 40, 38.5], passes.Select(p => p.SettingMm));
    }

    // The safe time itself is late enough.
    [Fact]
    public void Plan_AtTheSafeTime_Goes()
    {
        Assert.Null(Plan(110).Block);
    }

    // A studio that takes 1 mm a pass: 41.5, 40.5, 39.5 on the first face, 38.5, 37.5, 36.5, 36 on the second.
    [Fact]
    public void Plan_WithTheHabitsOfAStudio_FollowsThem()
    {
        var day = SecondDay.Plan(Piece([40], 36), HardAt(110), Usual with { PassMm = 1 });
        Assert.Equal(7, day.Steps.OfType<PlanerPass>().Count());
    }

    // Safe for the planer after 90 h, for the disc after 110 h, and felt hard: before the one nothing, between them the planer.
    [Fact]
    public void Plan_OfAPieceBetweenItsGates_StopsAtTheNextOne()
    {
        var early = Plan(89);
        Assert.Empty(early.Steps);
        Assert.Equal(new Block(LadderGate.Handle, 90), early.Block);

        var between = Plan(91);
        Assert.All(between.Steps, s => Assert.True(s is PlanerPass or TurnOver));
        Assert.NotEmpty(between.Steps);
        Assert.Equal(new Block(LadderGate.Sand, 110), between.Block);

        var ready = Plan(110);
        Assert.Null(ready.Block);
        Assert.Equal(48.5, ready.WaitHours, 1e-9);
        Assert.Equal(4 + 2 + 5 * 3.06667 + 2 * 25, ready.Minutes, 1e-3);
    }

    // A forecast alone never makes a piece ready, and a touch that spoke of the planer does not speak of the disc.
    [Theory]
    [InlineData(false, false, LadderGate.Handle)]
    [InlineData(false, true, LadderGate.Handle)]
    [InlineData(true, false, LadderGate.Sand)]
    public void Plan_OfAPieceThatNobodyFeltHard_IsBlockedWhateverTheForecast(bool forPlaner, bool forDisc, LadderGate gate) =>
        Assert.Equal(gate, SecondDay.Plan(Piece([40], 36), new(new(90, forPlaner), new(110, forDisc), 500)).Block!.Gate);

    // In a room that is too cold no time makes it safe, however hard it feels.
    [Fact]
    public void Plan_OfAPieceThatStalls_IsBlockedWithoutATime()
    {
        var day = SecondDay.Plan(Piece([40], 36), new(new(null, TouchedHard: true), new(null, TouchedHard: true), 500));
        Assert.Empty(day.Steps);
        Assert.Equal(new Block(LadderGate.Handle, null), day.Block);
    }

    [Fact]
    public void Cautions_OfDustAndRags_DeferToThoseWhoDecide()
    {
        Assert.Contains("part-cured", Block.Caution);
        Assert.Contains("the safety data sheet, local code and licensed practice decide", Block.Caution);
        Assert.Contains("safety data sheet of the finish and the local fire code decide", WipeOff.Caution);
    }

    [Theory]
    [InlineData("Lowest thickness reading (over the target)", 36.5, 36, 400)]
    [InlineData("Highest thickness reading", 35, 36, 400)]
    [InlineData("Length of the piece", 40, 36, 250)]
    public void Plan_OfAPieceThatCannotBePlaned_IsRefused(string quantity, double readMm, double targetMm, double lengthMm)
    {
        var piece = Piece([readMm], targetMm) with { LengthMm = lengthMm };
        var refused = Assert.Throws<CureRangeException>(() => SecondDay.Plan(piece, HardAt(300)));
        Assert.Equal(quantity, refused.Quantity);
    }

    // 250 mm are too short for the rollers of a planer; under a router the piece lies still.
    [Fact]
    public void Plan_OfAShortPieceUnderARouterSled_Goes()
    {
        var piece = Piece([40], 36) with { LengthMm = 250, Cutter = Cutter.RouterSled };
        Assert.Null(SecondDay.Plan(piece, HardAt(300)).Block);
    }

    // One thick and one thin reading: each is held against its own limit. The target of 0.5 mm is no board.
    [Theory]
    [InlineData("Number of thickness readings", new double[0], 36)]
    [InlineData("Target thickness", new[] { 40.0 }, 0.5)]
    [InlineData("Highest thickness reading", new[] { 401.0, 40 }, 36)]
    [InlineData("Lowest thickness reading (over the target)", new[] { 40, 36.5 }, 36)]
    public void Plan_OfReadingsThatCannotBe_IsRefused(string quantity, double[] readMm, double targetMm)
    {
        var refused = Assert.Throws<CureRangeException>(() => SecondDay.Plan(Piece(readMm, targetMm), HardAt(300)));
        Assert.Equal(quantity, refused.Quantity);
    }

    public static TheoryData<string, WorkSettings> Impossible => new()
    {
        { "High spots", Usual with { HighSpotsMm = 5.1 } },
        { "Cut of a pass", Usual with { PassMm = 0.05 } },
        { "Diameter of the disc", Usual with { DiscMm = 40 } },
        { "Speed of the disc", Usual with { DiscMmPerSecond = 0 } },
    };

    [Theory]
    [MemberData(nameof(Impossible))]
    public void Plan_WithHabitsThatCannotBe_IsRefused(string quantity, WorkSettings settings)
    {
        var refused = Assert.Throws<CureRangeException>(() => SecondDay.Plan(Piece([40], 36), HardAt(300), settings));
        Assert.Equal(quantity, refused.Quantity);
    }

    private static WorkDay Plan(double atHours) => SecondDay.Plan(Piece([40], 36), HardAt(atHours));

    private static WorkReadiness HardAt(double hours) => new(new(90, TouchedHard: true), new(110, TouchedHard: true), hours);

    private static RoughPiece Piece(double[] thicknessMm, double targetMm) =>
        new(thicknessMm, targetMm, 400, [Face], Cutter.HelicalHead);
}
