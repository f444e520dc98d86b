using Pourwright.Studio.Pieces;
using Pourwright.V1;
using RungState = Pourwright.V1.PieceReadiness.Types.Rung.Types.State;
using Touch = Pourwright.V1.Check.Types.Touch;

namespace Pourwright.Studio.Tests.Pieces;

public sealed class PieceReadinessRuleTests
{
    private const long HourMs = 3_600_000;

    /// <summary>One case in twenty is sooner than hour 20, nineteen than hour 30.</summary>
    private static readonly GateWindow Window = new(20 * HourMs, 30 * HourMs);

    [Theory]
    // The safe time is hour 30, not the earliest.
    [InlineData(29.99, null, 0, RungState.Curing)]
    [InlineData(30.0, null, 0, RungState.CheckDue)]
    // A person alone does not make it ready, nor hold it back, before the model says so.
    [InlineData(29.99, Touch.Firm, 25, RungState.Curing)]
    [InlineData(29.99, Touch.Tacky, 25, RungState.Curing)]
    // Both say yes; the touch may lie between the earliest and the safe time.
    [InlineData(30.0, Touch.Firm, 20, RungState.Ready)]
    [InlineData(40.0, Touch.Firm, 35, RungState.Ready)]
    // Firm before the earliest time is no test of this gate.
    [InlineData(30.0, Touch.Firm, 19.99, RungState.CheckDue)]
    // The model says yes, a person says no.
    [InlineData(31.0, Touch.Tacky, 30.5, RungState.Contradicted)]
    [InlineData(31.0, Touch.Soft, 30.5, RungState.Contradicted)]
    // Soft before the earliest time contradicts nothing: it had to be.
    [InlineData(31.0, Touch.Soft, 12, RungState.CheckDue)]
    // A durometer reading without a touch is not a touch test.
    [InlineData(31.0, Touch.Unspecified, 30.5, RungState.CheckDue)]
    public void Demold_OneTouch_IsInState(double nowHours, Touch? touch, double touchHours, RungState expected) =>
        Assert.Equal(expected, StateOf(Gate.Demold, nowHours, touch is { } felt ? [(felt, touchHours)] : []));

    [Theory]
    [InlineData(Touch.Soft, Touch.Firm, RungState.Ready)]
    [InlineData(Touch.Firm, Touch.Tacky, RungState.Contradicted)]
    public void Demold_TwoTouches_TheNewestCounts(Touch earlier, Touch later, RungState expected)
    {
        Assert.Equal(expected, StateOf(Gate.Demold, 40, (earlier, 31), (later, 36)));
        Assert.Equal(expected, StateOf(Gate.Demold, 40, (later, 36), (earlier, 31)));
    }

    [Theory]
    [InlineData(Touch.Firm, RungState.Ready)]
    [InlineData(Touch.Soft, RungState.Ready)]
    [InlineData(Touch.Tacky, RungState.Contradicted)]
    public void Gel_Touched_SoftNoLongerFlows(Touch touch, RungState expected) =>
        Assert.Equal(expected, StateOf(Gate.Gel, 40, (touch, 31)));

    [Fact]
    public void AnyGate_WithoutForecast_IsCuring() =>
        Assert.Equal(RungState.Curing, PieceReadinessRule.StateOf(Gate.Demold, null, [Felt(Touch.Firm, 35)], 40 * HourMs));

    [Fact]
    public void AnyGate_NotReachedWithinTheForecast_IsCuringHoweverFirm() => Assert.Equal(RungState.Curing,
        PieceReadinessRule.StateOf(Gate.Handle, new(20 * HourMs, null), [Felt(Touch.Firm, 400)], 500 * HourMs));

    [Fact]
    public void Gates_AskedByName_AreTheirOwn()
    {
        var gates = new PieceGates { GelEarliestMs = 1, GelSafeMs = 2, DemoldEarliestMs = 3, DemoldSafeMs = 4, HandleEarliestMs = 5, HandleSafeMs = 6, SandEarliestMs = 7, SandSafeMs = 8 };

        Assert.Equal([new(1, 2), new(3, 4), new(5, 6), new(7, 8)], new[] { gates[Gate.Gel], gates[Gate.Demold], gates[Gate.Handle], gates[Gate.Sand] });
    }

    // The forecast now says hour 60; at hour 36 an earlier one had said 30, and the touch yes.
    [Theory]
    [InlineData(null, RungState.Ready)]
    [InlineData(Touch.Firm, RungState.Ready)]
    [InlineData(Touch.Soft, RungState.Curing)]
    [InlineData(Touch.Tacky, RungState.Curing)]
    public void WhatWasReady_StaysSoUntilATouchSaysOtherwise(Touch? later, RungState expected)
    {
        var confirming = Felt(Touch.Firm, 36) with { Confirms = 1 << (int)Gate.Demold };
        CheckRecord[] checks = [.. later is { } touch ? [Felt(touch, 38)] : Array.Empty<CheckRecord>(), confirming];

        Assert.Equal(expected, PieceReadinessRule.StateOf(Gate.Demold, new(50 * HourMs, 60 * HourMs), checks, 40 * HourMs));
        Assert.Equal(RungState.Curing, PieceReadinessRule.StateOf(Gate.Handle, new(50 * HourMs, 60 * HourMs), checks, 40 * HourMs));
    }

    // Gel was safe at hour 10, demold at 30, handle never; bits 1 << 1 and 1 << 2.
    [Theory]
    [InlineData(Touch.Firm, 31, (1 << 1) | (1 << 2))]
    [InlineData(Touch.Firm, 29, 1 << 1)]
    [InlineData(Touch.Soft, 31, 1 << 1)]
    [InlineData(Touch.Tacky, 31, 0)]
    public void Touch_ConfirmsTheGatesThatAreSafeByThen(Touch touch, long hours, int confirms)
    {
        var gates = new PieceGates { GelSafeMs = 10 * HourMs, DemoldSafeMs = 30 * HourMs };
        var check = new Check { Checker = "Ivo", Touch = touch };

        Assert.Equal(confirms, RecordCheck.Decide("c", "p", check, gates, hours * HourMs).Confirms);
        Assert.Equal(0, RecordCheck.Decide("c", "p", check, null, hours * HourMs).Confirms);
    }

    private static RungState StateOf(Gate gate, double nowHours, params (Touch Touch, double Hours)[] touches) => PieceReadinessRule.StateOf(
        gate, Window, touches.Select(touch => Felt(touch.Touch, touch.Hours)), (long)(nowHours * HourMs));

    private static CheckRecord Felt(Touch touch, double hours) => new()
    {
        Name = $"studios/alder/pieces/seven/checks/at-{hours}",
        Piece = "studios/alder/pieces/seven",
        CheckMs = (long)(hours * HourMs),
        Checker = "Ivo",
        Touch = touch,
        RecordMs = (long)(hours * HourMs),
    };
}
