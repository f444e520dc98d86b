using Pourwright.Cure.Ladder;
using Pourwright.Cure.Readiness;
using Pourwright.Planning.CureGaps;
using Pourwright.Studio.Forecasts;
using Pourwright.Studio.Forecasts.Learning;
using Pourwright.Studio.Plans;
using Pourwright.Studio.Resins;
using CureClass = Pourwright.V1.ResinSystem.Types.CureClass;

namespace Pourwright.Studio.Tests.Plans;

public class CureScenariosTests
{
    private static readonly ResinKnowledge Coating = ResinKnowledge.Of(new ResinModels().Of(CureClass.FastCoating));

    [Fact]
    public void Of_TheSameRoomTwice_IsSolvedOnce()
    {
        var scenarios = new CureScenarios();
        Assert.Same(scenarios.Of(At(20)), scenarios.Of(At(20)));
        Assert.NotSame(scenarios.Of(At(20)), scenarios.Of(At(18)));
        Assert.Equal(2, scenarios.Solved);
    }

    [Fact]
    public void Of_SeveralBenches_IsTheSlowest()
    {
        var scenarios = new CureScenarios();
        double Hours(params double[] celsius) => new ClassReadiness(scenarios.Of(At(celsius))).LeastHours(8, 0.95)!.Value;
        Assert.Equal(Hours(17), Hours(21, 17));
        Assert.True(Hours(21) < Hours(17));
    }

    // Beyond what the model may be asked (a coat of 200 mm): nobody can say when, so that no class is planned on it.
    [Fact]
    public void Of_BeyondTheModel_IsNever() => Assert.Null(new ClassReadiness(
        new CureScenarios().Of(At(20) with { Offering = new("thick", Coating, [(200, 0)], null) })).LeastHours(1, 0.95));

    private static readonly Lazy<ClassReadiness> Exact = new(() => new([.. ManyTimes().Select(time => new ReadyScenario(1, time.MedianHours, time.LnSd))]));

    // 250 laid-out draws against 2,000: what the plan promises is not an accident of the draws.
    [Theory]
    [InlineData(1)]
    [InlineData(8)]
    [InlineData(16)]
    public void Of_ChanceOfTheClass_IsThatOfManyDraws(int pieces)
    {
        var hours = Exact.Value.LeastHours(pieces, 0.95)!.Value;
        Assert.Equal(0.95, new ClassReadiness(new CureScenarios().Of(At(20))).ChanceAllReady(pieces, hours), 0.005);
    }

    private static ReadyTime[] ManyTimes() => ReadyTimes.Of(
        new()
        {
            Layers = [new(0, 6, 20, Coating.Calibration.Model)], Ambient = [new(0, 20, 2.5)],
            WorkCelsius = CureTerms.WorkCelsius, HorizonHours = CureTerms.HorizonHours,
        },
        PieceDraws.Of(CureSpread.Default with
        {
            RateLnSd = Math.Sqrt(Coating.Calibration.RateLnSd * Coating.Calibration.RateLnSd + 2 * 0.01), Draws = 2000,
        }).Draws,
        LadderGate.Handle, 0.10);

    private static ClassCure At(params double[] celsius) => new(
        new("coat", Coating, [(6, 0)], null), "",
        [.. celsius.Select(c => new BenchCure(18, new($"{c}", [new(0, c, 2.5)])))]);
}
