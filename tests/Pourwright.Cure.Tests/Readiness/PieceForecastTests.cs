using Pourwright.Cure.Ladder;
using Pourwright.Cure.Readiness;

namespace Pourwright.Cure.Tests.Readiness;

public class PieceForecastTests
{
    // C1 of the reference: 40 mm at 20 °C on a base of 4 W/(m² K): gel 17.769 h, Tg ≥ T 47.188 h, + 10 K 71.816 h, peak 43.16 °C
    // at 12.13 h. Draws without spread are that run on coarse cells: times to 0.02 h, peak to 0.05 K.
    [Fact]
    public void Gates_OfThePlainDeepCasting_AreThoseOfTheReference()
    {
        var forecast = LadderForecaster.Forecast(Pieces.Deep() with { BoardThicknessMm = 0 }, Pieces.NoSpread);
        Assert.Equal(17.769, forecast.Gel.LikelyHours!.Value, 0.02);
        Assert.Equal(47.188, forecast.Demold.LikelyHours!.Value, 0.02);
        Assert.Equal(71.816, forecast.Handle.LikelyHours!.Value, 0.02);
        Assert.Equal(43.161, forecast.Peak.LikelyCelsius, 0.05);
        Assert.Equal(12.129, forecast.Peak.LikelyAtHours, 0.02);
    }

    // C2 and C3 of the reference, the quick resin: 10 mm peak at 43.56 °C and 2.936 h, demold 7.859 h; 40 mm run away to 200.9 °C
    // at 1.463 h.
    [Theory]
    [InlineData(10, 3.521, 7.859, 12.457, 43.559, 2.936)]
    [InlineData(40, 1.447, 4.998, 5.650, 200.926, 1.463)]
    public void Gates_OfTheFastCoating_AreThoseOfTheReference(
        double depthMm, double gelHours, double demoldHours, double handleHours, double peakCelsius, double peakHours)
    {
        var piece = Pieces.Of(ResinCureModel.FastCoating, depthMm, 20) with { BoardThicknessMm = 0 };
        var forecast = LadderForecaster.Forecast(piece, Pieces.NoSpread);
        Assert.Equal(gelHours, forecast.Gel.LikelyHours!.Value, 0.02);
        Assert.Equal(demoldHours, forecast.Demold.LikelyHours!.Value, 0.02);
        Assert.Equal(handleHours, forecast.Handle.LikelyHours!.Value, 0.02);
        Assert.Equal(peakCelsius, forecast.Peak.LikelyCelsius, 0.5);
        Assert.Equal(peakHours, forecast.Peak.LikelyAtHours, 0.02);
    }

    // Without board: 10 mm 62 h, 40 mm 47 h. A thin pour keeps less of its own heat.
    [Fact]
    public void Demold_OfAThinPour_ComesLaterThanOfADeepOne()
    {
        double Hours(double depthMm) =>
            LadderForecaster.Forecast(Pieces.Deep(depthMm) with { BoardThicknessMm = 0 }, Pieces.NoSpread)
                .Demold.LikelyHours!.Value;
        Assert.Equal(62, Hours(10), 0.5);
        Assert.Equal(47, Hours(40), 0.5);
    }

    [Theory]
    [InlineData(5)]
    [InlineData(20)]
    [InlineData(40)]
    public void Gates_InAWarmerRoom_NeverOpenLater(double depthMm)
    {
        double[] warmths = [15, 18, 21, 24, 27];
        PieceLadder[] byWarmth = [.. warmths.Select(celsius => LadderForecaster.Forecast(Pieces.Deep(depthMm, celsius)))];
        foreach (var (colder, warmer) in byWarmth.Zip(byWarmth.Skip(1)))
        {
            Assert.True(warmer.Gel.LikelyHours < colder.Gel.LikelyHours);
            Assert.True(warmer.Demold.LikelyHours < colder.Demold.LikelyHours);
            Assert.True(warmer.Peak.LikelyCelsius > colder.Peak.LikelyCelsius);
            Assert.True(warmer.Demold.SafeHours < colder.Demold.SafeHours);
        }
    }

    // "For good": glass at 16 °C after some days, soft again while the room stands at 45 °C, and glass only when it has cooled.
    [Fact]
    public void Demold_WhenTheRoomIsHeatedLater_CountsFromTheLastTimeItHolds()
    {
        var steady = Pieces.Deep(10, 16);
        var heated = steady with { Ambient = [new(0, 16), new(200, 16), new(204, 50), new(206, 50), new(208, 16)] };
        var before = LadderForecaster.Forecast(steady, Pieces.NoSpread).Demold.LikelyHours;
        var after = LadderForecaster.Forecast(heated, Pieces.NoSpread).Demold.LikelyHours;
        Assert.InRange(before!.Value, 40, 120);
        Assert.InRange(after!.Value, 204, 212);
    }

    [Fact]
    public void Gates_OfASecondPour_CountOverAllResin()
    {
        var one = Pieces.Deep(20);
        var two = one with { Layers = [one.Layers[0], new(24, 20, 22, ResinCureModel.DeepCasting)] };
        var (first, both) = (LadderForecaster.Forecast(one, Pieces.NoSpread), LadderForecaster.Forecast(two, Pieces.NoSpread));
        Assert.True(first.Gel.LikelyHours > 24 && both.Gel.LikelyHours > 24 + 10);
        Assert.True(both.Demold.LikelyHours > first.Demold.LikelyHours);
        var pour = both.LikelyCourse.First(s => s.AtHours > 24);
        Assert.InRange(pour.LeastConversion, 0, 0.02);
        Assert.InRange(pour.MostConversion, first.LikelyCourse.First(s => s.AtHours > 24).LeastConversion, 1);
    }

    [Fact]
    public void Peak_OfTwoShallowPours_IsLowerThanOfOneDeepPour()
    {
        var deep = Pieces.Deep();
        var half = deep.Layers[0] with { DepthMm = 20 };
        var split = deep with { Layers = [half, half with { AtHours = 36 }] };
        Assert.True(
            LadderForecaster.Forecast(split, Pieces.NoSpread).Peak.LikelyCelsius
            < LadderForecaster.Forecast(deep, Pieces.NoSpread).Peak.LikelyCelsius - 5);
    }

    // A horizon of 30 h ends between gel (about 18 h) and demold (47.2 h): the rest is carried on at the temperature of the room, as
    // if the piece had it. A casting that has just left its peak is a little warmer, and cures a little sooner.
    [Fact]
    public void Gates_BeyondTheHorizon_AreCarriedOnInTheRoom()
    {
        var (whole, cut) = (Ask(336), Ask(30));
        Assert.Equal(whole.Gel, cut.Gel);
        Assert.InRange(cut.Demold.LikelyHours!.Value - whole.Demold.LikelyHours!.Value, -0.2, 1);
        static PieceLadder Ask(double horizonHours) =>
            LadderForecaster.Forecast(Pieces.Deep() with { HorizonHours = horizonHours }, Pieces.NoSpread);
    }

    [Fact]
    public void Forecast_AskedTwice_IsTheSame()
    {
        var (one, two) = (LadderForecaster.Forecast(Pieces.Deep()), LadderForecaster.Forecast(Pieces.Deep()));
        Assert.Equal(one.Rungs, two.Rungs);
        Assert.Equal((one.NextLayer, one.Recoat, one.HandOver, one.Peak), (two.NextLayer, two.Recoat, two.HandOver, two.Peak));
        Assert.Equal(one.LikelyCourse, two.LikelyCourse);
    }

    [Fact]
    public void Revision_OfAForecast_NamesEveryResinOnce()
    {
        var quick = ResinCureModel.FastCoating.WithRateScale(1.25);
        PieceCase piece = Pieces.Deep(20) with
        {
            Layers =
            [
                new(0, 20, 20, ResinCureModel.DeepCasting), new(30, 3, 20, quick), new(40, 3, 20, quick),
            ],
        };
        var forecast = LadderForecaster.Forecast(piece, Pieces.NoSpread);
        Assert.Equal("deep-casting-1 + fast-coating-1 rate x1.25", forecast.ModelRevision);
    }

    // At constant temperature twice the rate is half the time: 1 mm is nearly that (peak 0.3 K over the room), so gel comes at
    // half.
    [Fact]
    public void Gel_OfAThinCoatAtTwiceTheRate_ComesInHalfTheTime()
    {
        double Hours(ResinCureModel resin) =>
            LadderForecaster.Forecast(Pieces.Of(resin, 1, 20) with { BoardThicknessMm = 0 }, Pieces.NoSpread)
                .Gel.LikelyHours!.Value;
        var (once, twice) = (Hours(ResinCureModel.DeepCasting), Hours(ResinCureModel.DeepCasting.WithRateScale(2)));
        Assert.Equal(0.5, twice / once, 0.01);
    }

    [Fact]
    public void LikelyCourse_OfTwoWeeks_RunsFromThePourToTheHorizon()
    {
        var course = LadderForecaster.Forecast(Pieces.Deep()).LikelyCourse;
        Assert.Equal(new CureSample(0, course[0].BaseCelsius, 20, 20, 0, 0, course[0].LeastTgMinusTKelvin), course[0]);
        Assert.Equal(20, course[0].BaseCelsius, 1e-9);
        Assert.Equal(336, course[^1].AtHours);
        Assert.Equal(20, course[^1].MiddleCelsius, 0.05);
        Assert.Equal(24 * 4 + 72 + 60 + 1, course.Count); // a quarter hour for a day, an hour for three, four hours for ten
    }
}
