using Pourwright.Studio.Pieces;
using Pourwright.Studio.Refusals;
using Pourwright.V1;
using Kind = Pourwright.V1.Step.Types.Kind;
using PieceState = Pourwright.V1.Piece.Types.State;
using Touch = Pourwright.V1.Check.Types.Touch;

namespace Pourwright.Studio.Tests.Pieces;

public sealed class RecordStepTests
{
    /// <summary>Poured at hour 0; demold at hour 20 at the earliest and 30 for safe, tools at 40 and 50.</summary>
    private static readonly PieceGates Gates = new()
    {
        GelEarliestMs = 5 * PieceFacts.HourMs,
        GelSafeMs = 8 * PieceFacts.HourMs,
        DemoldEarliestMs = 20 * PieceFacts.HourMs,
        DemoldSafeMs = 30 * PieceFacts.HourMs,
        HandleEarliestMs = 40 * PieceFacts.HourMs,
        HandleSafeMs = 50 * PieceFacts.HourMs,
        SandEarliestMs = 60 * PieceFacts.HourMs,
        SandSafeMs = 70 * PieceFacts.HourMs,
    };

    [Theory]
    [InlineData(PieceState.Curing, Kind.Demold, PieceState.Demolded)]
    [InlineData(PieceState.Curing, Kind.Finish, PieceState.Curing)]
    [InlineData(PieceState.Curing, Kind.HandOver, PieceState.HandedOver)]
    [InlineData(PieceState.Curing, Kind.Scrap, PieceState.Scrapped)]
    [InlineData(PieceState.Prepared, Kind.Scrap, PieceState.Scrapped)]
    [InlineData(PieceState.Demolded, Kind.Saw, PieceState.Demolded)]
    [InlineData(PieceState.Demolded, Kind.Plane, PieceState.Demolded)]
    [InlineData(PieceState.Demolded, Kind.Sand, PieceState.Demolded)]
    [InlineData(PieceState.Demolded, Kind.Finish, PieceState.Demolded)]
    [InlineData(PieceState.Demolded, Kind.HandOver, PieceState.HandedOver)]
    public void Step_InState_LeavesThePieceIn(PieceState before, Kind kind, PieceState after) =>
        Assert.Equal(after, Decide(kind, 60, Facts(before)).Piece.State);

    [Theory]
    [InlineData(PieceState.Prepared, Kind.Demold, Reasons.PieceNotPoured)]
    [InlineData(PieceState.Prepared, Kind.Sand, Reasons.PieceNotPoured)]
    [InlineData(PieceState.Prepared, Kind.HandOver, Reasons.PieceNotPoured)]
    [InlineData(PieceState.Curing, Kind.Saw, Reasons.PieceNotDemolded)]
    [InlineData(PieceState.Curing, Kind.Plane, Reasons.PieceNotDemolded)]
    [InlineData(PieceState.Curing, Kind.Sand, Reasons.PieceNotDemolded)]
    [InlineData(PieceState.Demolded, Kind.Demold, Reasons.PieceDemolded)]
    [InlineData(PieceState.HandedOver, Kind.Sand, Reasons.PieceHandedOver)]
    [InlineData(PieceState.HandedOver, Kind.Scrap, Reasons.PieceHandedOver)]
    [InlineData(PieceState.Scrapped, Kind.Sand, Reasons.PieceScrapped)]
    [InlineData(PieceState.Scrapped, Kind.Scrap, Reasons.PieceScrapped)]
    public void Step_InState_IsRefused(PieceState before, Kind kind, string reason) =>
        Assert.Equal(reason, Assert.Throws<Refusal>(() => Decide(kind, 60, Facts(before))).Reason);

    [Theory]
    // Demold is at its safe time of hour 30, saw and planer at hour 50, disc and finish at hour 70; each wants a firm touch since
    // its earliest time, 20, 40 and 60.
    [InlineData(Kind.Demold, 29, 25, "GATE_NOT_REACHED")]
    [InlineData(Kind.Demold, 31, 15, "GATE_NOT_REACHED")]
    [InlineData(Kind.Demold, 31, 25, "")]
    [InlineData(Kind.Saw, 49, 45, "GATE_NOT_REACHED UNCURED_DUST")]
    [InlineData(Kind.Plane, 49, 45, "GATE_NOT_REACHED UNCURED_DUST")]
    [InlineData(Kind.Saw, 51, 39, "GATE_NOT_REACHED UNCURED_DUST")]
    [InlineData(Kind.Saw, 51, 45, "")]
    [InlineData(Kind.Sand, 69, 65, "GATE_NOT_REACHED UNCURED_DUST")]
    [InlineData(Kind.Sand, 71, 59, "GATE_NOT_REACHED UNCURED_DUST")]
    [InlineData(Kind.Sand, 71, 65, "")]
    [InlineData(Kind.Finish, 69, 65, "GATE_NOT_REACHED")]
    [InlineData(Kind.Finish, 71, 65, "")]
    [InlineData(Kind.HandOver, 49, 45, "GATE_NOT_REACHED")]
    [InlineData(Kind.HandOver, 51, 45, "")]
    [InlineData(Kind.Scrap, 10, 5, "")]
    public void Step_AgainstItsGate_IsAcceptedWithCautions(Kind kind, double hours, double firmAtHours, string expected)
    {
        var before = kind == Kind.Demold ? PieceState.Curing : PieceState.Demolded;
        var step = Decide(kind, hours, Facts(before) with { Checks = [PieceFacts.Check(Touch.Firm, firmAtHours)] }).Step;

        Assert.Equal(expected, string.Join(' ', MessageListJson.Read<Caution>(step.Cautions).Select(caution => caution.Reason)));
    }

    [Theory]
    // Hour 30 of Unix time is 06:00 of its second day.
    [InlineData(29, null, 0, "STATE_CURING", "from 1970-01-02 06:00 +00:00 on")]
    [InlineData(31, null, 0, "STATE_CHECK_DUE", "no touch test")]
    [InlineData(31, Touch.Soft, 30.5, "STATE_CONTRADICTED", "not hard")]
    public void Demold_BeforeItsGate_SaysWhyAndWhatToDo(double hours, Touch? touch, double touchHours, string readiness, string words)
    {
        var checks = touch is { } felt ? new[] { PieceFacts.Check(felt, touchHours) } : [];
        var caution = Assert.Single(MessageListJson.Read<Caution>(Decide(Kind.Demold, hours, Facts(PieceState.Curing) with { Checks = checks }).Step.Cautions));

        Assert.Equal(readiness, caution.Facts["readiness"]);
        Assert.Equal("1970-01-02 06:00:00Z", caution.Facts["safe_time"]);
        Assert.Contains(words, caution.Text, StringComparison.Ordinal);
        Assert.Contains("touch", caution.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Demold_WithoutForecast_SaysThatThereIsNone() => Assert.Contains("no forecast of its newest pour yet",
        Assert.Single(MessageListJson.Read<Caution>(Decide(Kind.Demold, 60, Facts(PieceState.Curing) with { Gates = null }).Step.Cautions)).Text, StringComparison.Ordinal);

    [Fact]
    public void Sand_NeverReadyByItsForecast_IsNotPromisedATime()
    {
        var facts = Facts(PieceState.Demolded) with { Gates = Gates with { SandEarliestMs = null, SandSafeMs = null }, Checks = [PieceFacts.Check(Touch.Firm, 45)] };
        var caution = MessageListJson.Read<Caution>(Decide(Kind.Sand, 60, facts).Step.Cautions)[0];

        Assert.Equal((Reasons.GateNotReached, "STATE_CURING", ""), (caution.Reason, caution.Facts["readiness"], caution.Facts["safe_time"]));
        Assert.Contains("no time in its forecast", caution.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Sand_ToldAfterATouchThatCameLater_IsNotExcusedByIt()
    {
        // Sanded at hour 51, felt at hour 70: nobody had felt it when the dust flew.
        var facts = Facts(PieceState.Demolded) with { Checks = [PieceFacts.Check(Touch.Firm, 70)] };

        Assert.Equal(2, MessageListJson.Read<Caution>(Decide(Kind.Sand, 51, facts).Step.Cautions).Count);
    }

    [Theory]
    [InlineData(Kind.Demold, 3.9)]
    [InlineData(Kind.HandOver, 3.9)]
    [InlineData(Kind.Move, -0.1)]
    public void Step_BeforeThePours_IsOutOfOrder(Kind kind, double hours)
    {
        // Layers at hours 0 and 4: a piece is moved after the first, anything else is done after the last.
        var facts = Facts(PieceState.Curing) with { Pours = [PieceFacts.Pour(1, 0), PieceFacts.Pour(2, 4)], Bench = PieceFacts.Bench("window") };

        Assert.Equal(Reasons.TimeOutOfOrder, Assert.Throws<Refusal>(() => Decide(kind, hours, facts)).Reason);
    }

    [Fact]
    public void Sand_BeforeTheDemolding_IsOutOfOrder()
    {
        var facts = Facts(PieceState.Demolded) with { Steps = [PieceFacts.Step(Kind.Demold, 55)] };

        Assert.Equal(Reasons.TimeOutOfOrder, Assert.Throws<Refusal>(() => Decide(Kind.Sand, 54, facts)).Reason);
    }

    [Fact]
    public void Move_ToABenchOfAnotherSite_IsRefused()
    {
        var facts = Facts(PieceState.Curing) with { Bench = PieceFacts.Bench("shelf", "south") };

        Assert.Equal(Reasons.SiteMismatch, Assert.Throws<Refusal>(() => Decide(Kind.Move, 1, facts)).Reason);
    }

    [Fact]
    public void Move_WrittenDownLate_DoesNotUndoTheNewerOne()
    {
        var (window, oven) = (PieceFacts.Bench("window"), PieceFacts.Bench("warm-box"));
        var facts = Facts(PieceState.Curing) with { Bench = window };
        var moved = facts with { Steps = [PieceFacts.Step(Kind.Move, 9, oven.Name)], Piece = facts.Piece with { Bench = oven.Name } };

        Assert.Equal(window.Name, Decide(Kind.Move, 10, moved).Piece.Bench);
        Assert.Equal(oven.Name, Decide(Kind.Move, 8, moved).Piece.Bench);
    }

    private static StepFacts Facts(PieceState state) => new()
    {
        Piece = PieceFacts.Piece(state),
        Site = PieceFacts.Site,
        Pours = state == PieceState.Prepared ? [] : [PieceFacts.Pour(1, 0)],
        Gates = Gates,
    };

    private static StepDecision Decide(Kind kind, double hours, StepFacts facts) => RecordStep.Decide(
        $"{PieceFacts.Name}/steps/new", new() { Kind = kind, Worker = "Ivo" }, facts, (long)(hours * PieceFacts.HourMs));
}
