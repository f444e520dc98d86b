using CsCheck;
using Pourwright.Cure.Kinetics;
using Pourwright.Cure.Ladder;
using Pourwright.Cure.Readiness;
using Pourwright.Cure.Tests.Readiness;

namespace Pourwright.Cure.Tests.Ladder;

public class PieceLadderTests
{
    // Computed by a general-purpose solver for illustrative resins, cases C1 and C2 of the reference (40 mm deep casting and
    // 10 mm quick coating at 20 °C, bare base of 4 W/(m² K)): first and last gel, Tg − T ≥ 0, 10, 15 K, printed to 0.001 h.
    // C1 sand 102.8 and C2 demold 7.859, handle 12.457 in the same table. Coarse cells of the draws: 0.02 h, sand 0.1 h.
    [Theory]
    [InlineData("deep", 40, LadderGate.FirstGel, 13.012, 0.02)]
    [InlineData("deep", 40, LadderGate.Gel, 17.769, 0.02)]
    [InlineData("deep", 40, LadderGate.Demold, 47.188, 0.02)]
    [InlineData("deep", 40, LadderGate.Handle, 71.816, 0.02)]
    [InlineData("deep", 40, LadderGate.Sand, 102.8, 0.1)]
    [InlineData("fast", 10, LadderGate.FirstGel, 3.204, 0.02)]
    [InlineData("fast", 10, LadderGate.Gel, 3.521, 0.02)]
    [InlineData("fast", 10, LadderGate.Demold, 7.859, 0.02)]
    [InlineData("fast", 10, LadderGate.Handle, 12.457, 0.02)]
    public void Rung_OfAReferenceCase_IsReachedWhenItSays(
        string resin, double depthMm, LadderGate gate, double hours, double within)
    {
        var rung = Assert.IsType<Opens>(Ladder(Bare(resin, depthMm))[gate]);
        Assert.Equal(hours, rung.Times.LikelyHours!.Value, within);
    }

    // The same runs: 22.8 to 33.2 h (temperature opens it, gel alone would at 17.8) and 5.1 to 7.0 h; printed to 0.1 h.
    [Theory]
    [InlineData("deep", 40, 22.8, 33.2)]
    [InlineData("fast", 10, 5.1, 7.0)]
    public void Window_OfAReferenceCase_OpensAndClosesWhenItSays(string resin, double depthMm, double opens, double closes)
    {
        var window = Ladder(Bare(resin, depthMm)).NextLayer;
        Assert.Equal(opens, window.Opens.LikelyHours!.Value, 0.1);
        Assert.Equal(closes, window.Closes.LikelyHours!.Value, 0.1);
        Assert.Equal(1, window.ShareAtBest);
        Assert.Equal((opens + closes) / 2, window.BestAtHours!.Value, 0.1);
    }

    // 1 mm at 20 °C is nearly isothermal: full cure is then ∫ dα/r(α, 20 °C) from 0 to 0.98 a∞, a∞ where Tg = 38 °C. With x =
    // (38 + 40)/(52 + 40) = 0.84783: a∞ = 0.84783/(0.42 + 0.58 · 0.84783) = 0.92990, times 0.98 = 0.91130.
    [Fact]
    public void FullCure_OfAThinCoat_IsTheIsothermalIntegral()
    {
        var reaction = ResinCureModel.DeepCasting.Reaction;
        Assert.Equal(0.92990, reaction.Glass.Conversion(311.15), 1e-5);
        const int slices = 100_000;
        var hours = Enumerable.Range(0, slices)
            .Sum(i => 0.91130 / slices / reaction.RatePerSecond((i + 0.5) * 0.91130 / slices, 293.15)) / 3600;
        var coat = Bare("deep", 1);
        Assert.Equal(hours, Ladder(coat)[LadderGate.FullCure].Times.LikelyHours!.Value, 0.01 * hours);
    }

    [Theory]
    [InlineData(3)]
    [InlineData(40)]
    public void Rungs_OfAnyPiece_AreClimbedInOrder(double depthMm)
    {
        var ladder = LadderForecaster.Forecast(Pieces.Deep(depthMm));
        LadderGate[] order = [LadderGate.FirstGel, LadderGate.Gel, LadderGate.Demold, LadderGate.Handle, LadderGate.Sand];
        foreach (var (lower, upper) in order.Zip(order.Skip(1)))
        {
            Assert.True(ladder[lower].Times.LikelyHours <= ladder[upper].Times.LikelyHours, $"{lower} after {upper}");
            Assert.True(ladder[lower].Times.SafeHours <= ladder[upper].Times.SafeHours, $"{lower} after {upper}");
        }
    }

    [Fact]
    public void Ladder_OfAPiece_AgreesWithItsForecast()
    {
        var (ladder, forecast) = (LadderForecaster.Forecast(Pieces.Deep(30)), LadderForecaster.Forecast(Pieces.Deep(30)));
        Assert.Equal(forecast.Gel.SafeHours!.Value, ladder[LadderGate.Gel].Times.SafeHours!.Value, 1e-9);
        Assert.Equal(forecast.Demold.SafeHours!.Value, ladder[LadderGate.Demold].Times.SafeHours!.Value, 1e-9);
        Assert.Equal(forecast.Handle.SafeHours!.Value, ladder[LadderGate.Handle].Times.SafeHours!.Value, 1e-9);
        Assert.Equal(forecast.Peak.HighCelsius, ladder.Peak.HighCelsius, 1e-9);
    }

    // Less of its own heat: demold after 62 h instead of 47 h; sanding later too.
    [Fact]
    public void Rungs_OfAThinPour_ComeLaterThanOfADeepOne()
    {
        var (thin, deep) = (Ladder(Bare("deep", 10)), Ladder(Bare("deep", 40)));
        foreach (var gate in (LadderGate[])[LadderGate.Gel, LadderGate.Demold, LadderGate.Handle, LadderGate.Sand])
            Assert.True(thin[gate].Times.LikelyHours > deep[gate].Times.LikelyHours, $"{gate}");
    }

    // Sanding is not in the list: near Tg∞ a warmer room asks for more conversion than it gives (27 °C is later than 24 °C).
    [Fact]
    public void GelAndDemold_InAWarmerRoom_NeverComeLater()
    {
        Gen.Select(Gen.Double[2, 40], Gen.Double[12, 24], Gen.Double[0.2, 3]).Sample((depthMm, celsius, more) =>
        {
            var (cold, warm) = (Ladder(Pieces.Deep(depthMm, celsius)), Ladder(Pieces.Deep(depthMm, celsius + more)));
            foreach (var gate in (LadderGate[])[LadderGate.FirstGel, LadderGate.Gel, LadderGate.Demold])
                Assert.True(warm[gate].Times.LikelyHours < cold[gate].Times.LikelyHours, $"{gate}");
        }, iter: 30);
    }

    // A horizon of 60 h ends before sanding (102.8 h): the rest of the way is isothermal and comes out within a percent.
    [Fact]
    public void Sand_PastTheHorizon_IsCarriedOn()
    {
        var ladder = Ladder(Bare("deep", 40) with { HorizonHours = 60 });
        Assert.Equal(102.8, Assert.IsType<Opens>(ladder[LadderGate.Sand]).Times.LikelyHours!.Value, 1.0);
    }

    // Tg∞ is 52 °C: a room at 40 °C wants Tg = 55 °C to sand, which no conversion gives; at 20 °C it is a matter of days.
    [Fact]
    public void Sand_InARoomTooHotForTheResin_Stalls()
    {
        var hot = LadderForecaster.Forecast(Pieces.Deep(10, 20) with { Ambient = [new(0, 20), new(60, 20), new(70, 40)] });
        var stall = Assert.IsType<Stalls>(hot[LadderGate.Sand]);
        Assert.Equal(40, stall.RoomCelsius, 1e-9);
        Assert.True(stall.WantedConversion > 1);
        Assert.InRange(stall.ReachedConversion, 0.9, 1);
        Assert.IsType<Opens>(LadderForecaster.Forecast(Pieces.Deep(10, 20))[LadderGate.Sand]);
    }

    // A resin that diffusion stops early, k_d0 = 0.02 1/s: at 15 K below Tg, f = 0.025 − 0.0072 = 0.0178 and
    // k_d = 0.02 exp(−0.25/0.0178) = 1.6e-8 1/s. Near α = 0.87, (1 − α)^1.7 = 0.031: 5e-10 1/s, a percent in 230 days.
    [Fact]
    public void Sand_OfAResinThatFreezesEarly_StallsWithoutADate()
    {
        var stall = Assert.IsType<Stalls>(LadderForecaster.Forecast(Frozen(12))[LadderGate.Sand]);
        Assert.Null(stall.Times.SafeHours);
        Assert.True(stall.ReachedConversion < stall.WantedConversion && stall.WantedConversion < 1);
        Assert.IsType<Opens>(LadderForecaster.Forecast(Frozen(12))[LadderGate.Demold]);
    }

    // In a room at 15 °C a piece days old is at 15 °C: Tg − max(T, 30 °C) ≥ 0 and Tg − T ≥ 15 K are then the same line, and so are
    // Tg − max(T, 20 °C) ≥ 10 K and Tg − max(T, 30 °C) ≥ 0. Its last heat keeps it some hundredths of a kelvin over the room, and Tg rises by a tenth an hour.
    [Fact]
    public void Work_WarmerThanThePiece_AsksForTheGlassTransitionOfTheWork()
    {
        PieceLadder At(double? work) => Ladder(Pieces.Deep(10, 15) with { WorkCelsius = work });
        double Hours(PieceLadder ladder, LadderGate gate) => ladder[gate].Times.LikelyHours!.Value;
        Assert.Equal(Hours(At(null), LadderGate.Sand), Hours(At(30), LadderGate.Demold), 1.0);
        Assert.Equal(Hours(At(20), LadderGate.Handle), Hours(At(30), LadderGate.Demold), 1.0);
        Assert.True(Hours(At(20), LadderGate.Demold) > Hours(At(null), LadderGate.Demold) + 1);
    }

    [Fact]
    public void Work_ColderThanThePiece_ChangesNothing() => Assert.Equal(
        Ladder(Pieces.Deep(10, 20))[LadderGate.Sand], Ladder(Pieces.Deep(10, 20) with { WorkCelsius = 15 })[LadderGate.Sand]);

    // The resin of the test above, nearly standing still once glass: at 12 °C it is hard in its own cold (demold opens), and never
    // at 30 °C.
    [Fact]
    public void Work_InAWarmRoom_FindsWhatTheColdHides()
    {
        var stall = Assert.IsType<Stalls>(Ladder(Frozen(12) with { WorkCelsius = 30 })[LadderGate.Demold]);
        Assert.Equal(Frozen(12).Layers[0].Resin.Reaction.Glass.Conversion(303.15), stall.WantedConversion, 1e-12);
        Assert.IsType<Opens>(Ladder(Frozen(12))[LadderGate.Demold]);
    }

    // One coat more is one recoat wait more: 2 coats 24 + 24 = 48 h, 3 coats 2 · 24 + 24 = 72 h after sanding.
    [Theory]
    [InlineData(2, 48)]
    [InlineData(3, 72)]
    public void HandOver_IsSandingAndTheWaits(int coats, double hours)
    {
        var ladder = LadderForecaster.Forecast(Pieces.Deep(), Pieces.NoSpread, new(coats));
        var sand = Three(ladder[LadderGate.Sand].Times);
        Assert.All(sand.Zip(Three(ladder.Recoat)), times => Assert.Equal(times.First + 24, times.Second, 1e-9));
        Assert.All(sand.Zip(Three(ladder.HandOver)), times => Assert.Equal(times.First + hours, times.Second, 1e-9));

        double[] Three(GateTimes times) => [times.EarliestHours!.Value, times.LikelyHours!.Value, times.SafeHours!.Value];
    }

    // 40 mm of the quick resin are over 200 °C when their top face passes 0.75: there is no bonding window, one must sand.
    [Fact]
    public void Window_OfARunaway_NeverOpens()
    {
        var window = Ladder(Bare("fast", 40)).NextLayer;
        Assert.Null(window.Opens.LikelyHours);
        Assert.NotNull(window.Closes.LikelyHours);
        Assert.Null(window.BestAtHours);
        Assert.Equal(0, window.ShareAtBest);
    }

    // Slow pieces open late and close late: with the usual spread no time suits every piece, and the share says so.
    [Fact]
    public void Window_WithSpread_SaysForHowManyItsBestTimeHolds()
    {
        var window = LadderForecaster.Forecast(Pieces.Deep()).NextLayer;
        Assert.InRange(window.ShareAtBest, 0.3, 0.95);
        Assert.InRange(window.BestAtHours!.Value, window.Opens.EarliestHours!.Value, window.Closes.SafeHours!.Value);
    }

    [Fact]
    public void Window_OfASecondPour_IsThatOfTheSecond()
    {
        var one = Pieces.Deep(20);
        var two = one with { Layers = [one.Layers[0], one.Layers[0] with { AtHours = 40 }] };
        var (first, second) = (Ladder(one).NextLayer, Ladder(two).NextLayer);
        Assert.InRange(second.Opens.LikelyHours!.Value, 40 + 15, 40 + first.Opens.LikelyHours!.Value + 1);
    }

    internal static PieceCase Frozen(double celsius)
    {
        var deep = ResinCureModel.DeepCasting;
        return Pieces.Of(
            deep with { Reaction = deep.Reaction with { Diffusion = new Rabinowitch(0.02, 0, 0.25) } }, 10, celsius);
    }

    private static PieceCase Bare(string resin, double depthMm) =>
        Pieces.Of(resin == "deep" ? ResinCureModel.DeepCasting : ResinCureModel.FastCoating, depthMm, 20) with
        {
            BoardThicknessMm = 0,
        };

    private static PieceLadder Ladder(PieceCase piece) => LadderForecaster.Forecast(piece, Pieces.NoSpread);
}
