using Google.Protobuf.WellKnownTypes;
using Pourwright.Studio.Trace;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Trace;

public sealed class CompareGatesTests
{
    // The last forecast of the invented piece: demold safe on 9 Mar at 09:00 in Vienna, 47 h after the first pour at 10:00 on 7 Mar.
    private static readonly PieceFacts Bare = InventedPiece.Facts() with { Checks = [], Steps = [] };

    [Fact]
    public void Observation_NothingRecorded_IsUnknown() =>
        Assert.All(CompareGates.Decide(Bare), gate => Assert.Equal("unknown", gate.Observation));

    [Theory]
    [InlineData(46.0, "Demolded 9 Mar 2026 08:00 +01:00 by Ivo, 1 h before the safe time. No touch test before it.")]
    [InlineData(49.5, "Demolded 9 Mar 2026 11:30 +01:00 by Ivo, 2 h 30 min after the safe time. No touch test before it.")]
    public void Observation_DemoldedWithoutATouchTest_SaysBoth(double hours, string words) =>
        Assert.Equal(words, Observation(Bare with { Steps = [Step(V1.Step.Types.Kind.Demold, hours)] }, Gate.Demold));

    [Fact]
    public void Observation_TouchTestAfterTheAct_DoesNotCountForIt()
    {
        var facts = Bare with { Steps = [Step(V1.Step.Types.Kind.Demold, 46)], Checks = [Touch(45, Check.Types.Touch.Soft), Touch(48, Check.Types.Touch.Firm)] };

        Assert.EndsWith("Last touch test before it: soft, 9 Mar 2026 07:00 +01:00.", Observation(facts, Gate.Demold), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(V1.Step.Types.Kind.Saw, "Sawn ")]
    [InlineData(V1.Step.Types.Kind.Plane, "Planed ")]
    public void Observation_AnyToolOnThePiece_IsTheActOfTheHandleGate(V1.Step.Types.Kind tool, string begins) =>
        Assert.StartsWith(begins, Observation(Bare with { Steps = [Step(tool, 60)] }, Gate.Handle), StringComparison.Ordinal);

    [Fact]
    public void Observation_TheDiscOnThePiece_IsTheActOfTheSandGate() =>
        Assert.StartsWith("Sanded ", Observation(Bare with { Steps = [Step(V1.Step.Types.Kind.Sand, 60)] }, Gate.Sand), StringComparison.Ordinal);

    [Fact]
    public void Observation_NoForecast_SpeaksOfNoSafeTime() => Assert.Equal(
        "Demolded 9 Mar 2026 08:00 +01:00 by Ivo. No touch test before it.",
        Observation(Bare with { LastForecast = null, Steps = [Step(V1.Step.Types.Kind.Demold, 46)] }, Gate.Demold));

    [Fact]
    public void Gates_FirstAndLastForecast_StandBesideEachOther()
    {
        var demold = CompareGates.Decide(Bare).Single(gate => gate.Gate == Gate.Demold);

        Assert.Equal((44, 47), (Hours(demold.FirstForecast), Hours(demold.LastForecast)));
        static double Hours(GateForecast forecast) => (forecast.SafeTime.ToDateTimeOffset() - InventedPiece.FirstPour).TotalHours;
    }

    [Fact]
    public void Peak_SeveralSurfaces_TellsTheWarmest() => Assert.Equal(
        "Warmest surface measured: 36 °C, 7 Mar 2026 19:00 +01:00, 9 h after the first pour. The middle may have been hotter.",
        CompareGates.Peak(InventedPiece.Facts()));

    private static string Observation(PieceFacts facts, Gate gate) => CompareGates.Decide(facts).Single(each => each.Gate == gate).Observation;

    private static Step Step(V1.Step.Types.Kind kind, double hours) =>
        new() { Kind = kind, StepTime = Timestamp.FromDateTimeOffset(InventedPiece.TimeAt(hours)), Worker = "Ivo" };

    private static Check Touch(double hours, Check.Types.Touch touch) =>
        new() { Touch = touch, CheckTime = Timestamp.FromDateTimeOffset(InventedPiece.TimeAt(hours)), Checker = "Ivo" };
}
