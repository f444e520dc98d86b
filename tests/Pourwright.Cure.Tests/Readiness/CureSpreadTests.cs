using System.Globalization;
using Pourwright.Cure.Ladder;
using Pourwright.Cure.Readiness;
using Xunit.Abstractions;

namespace Pourwright.Cure.Tests.Readiness;

/// <summary>Whether forty draws say what a thousand say.</summary>
public class CureSpreadTests(ITestOutputHelper output)
{
    // None of these is among the five castings that chose the seed. The unit is the width between the 5 and 95 % quantiles of
    // a thousand draws of another seed; 0.07 of it is asked, 0.13 of the last casting, which runs away.
    public static IEnumerable<object[]> Castings =>
    [
        ["deep", 40, 24, 0.07], ["deep", 25, 18, 0.07], ["deep", 45, 21, 0.07], ["fast", 3, 20, 0.07], ["fast", 8, 22, 0.07],
        ["fast", 30, 20, 0.13],
    ];

    [Theory]
    [MemberData(nameof(Castings))]
    public void Quantiles_OfTheDefaultDraws_AreThoseOfAThousand(string resin, double depthMm, double celsius, double most)
    {
        var piece = Pieces.Of(resin == "deep" ? ResinCureModel.DeepCasting : ResinCureModel.FastCoating, depthMm, celsius);
        var few = LadderForecaster.Forecast(piece);
        var many = LadderForecaster.Forecast(piece, new CureSpread { Draws = 1000, Seed = 2 });
        double[] departures =
        [
            .. Departures(few.Gel, many.Gel), .. Departures(few.Demold, many.Demold), .. Departures(few.Handle, many.Handle),
            .. Departures(Of(few.Peak), Of(many.Peak)),
        ];
        output.WriteLine(string.Join(" ", departures.Select(d => d.ToString("0.000", CultureInfo.InvariantCulture))));
        Assert.All(departures, d => Assert.InRange(Math.Abs(d), 0, most));
    }

    // A wider spread opens the gap between early and late, and leaves the middle about where it was.
    [Fact]
    public void Gates_WithTwiceTheSpread_LieTwiceAsFarApart()
    {
        var coat = Pieces.Deep(1);
        GateTimes Gel(double scale) => LadderForecaster.Forecast(coat, new CureSpread
        {
            RateLnSd = 0.1 * scale, HeatLnSd = 0, HeatLossLnSd = 0, AmbientOffsetSdKelvin = 0, TgOffsetSdKelvin = 0,
        }).Gel;
        double Width(GateTimes gate) => Math.Log(gate.SafeHours!.Value / gate.EarliestHours!.Value);
        Assert.Equal(2, Width(Gel(2)) / Width(Gel(1)), 0.1);
        Assert.Equal(Gel(1).LikelyHours!.Value, Gel(2).LikelyHours!.Value, 0.1);

        // A thin coat is nearly isothermal, so time goes with 1/rate: ln width 2 · 1.645 · 0.1 = 0.329.
        Assert.Equal(0.329, Width(Gel(1)), 0.03);
    }

    [Fact]
    public void Gates_WithoutSpread_AreOneTime()
    {
        var demold = LadderForecaster.Forecast(Pieces.Deep(), Pieces.NoSpread).Demold;
        Assert.Equal(demold.EarliestHours!.Value, demold.SafeHours!.Value, 1e-9);
    }

    // The coarse cells and steps of the draws against the fine ones of the likely run: two minutes, a tenth of a kelvin.
    [Theory]
    [InlineData(40)]
    [InlineData(50)]
    public void Draws_SolvedCoarser_MoveByTwoMinutesAtMost(double depthMm)
    {
        var forecast = LadderForecaster.Forecast(Pieces.Deep(depthMm), Pieces.NoSpread);
        var fine = forecast.LikelyCourse.Zip(forecast.LikelyCourse.Skip(1)).First(s => s.Second.LeastConversion >= 0.57735);
        var share = (0.57735 - fine.First.LeastConversion) / (fine.Second.LeastConversion - fine.First.LeastConversion);
        Assert.Equal(fine.First.AtHours + share * 0.25, forecast.Gel.LikelyHours!.Value, 2.0 / 60);
        Assert.Equal(forecast.LikelyCourse.Max(s => s.MiddleCelsius), forecast.Peak.LikelyCelsius, 3.0);
    }

    private static GateTimes Of(PeakForecast peak) => new(peak.LowCelsius, peak.LikelyCelsius, peak.HighCelsius);

    private static double[] Departures(GateTimes few, GateTimes many)
    {
        var width = many.SafeHours!.Value - many.EarliestHours!.Value;
        return
        [
            (few.EarliestHours!.Value - many.EarliestHours!.Value) / width,
            (few.LikelyHours!.Value - many.LikelyHours!.Value) / width,
            (few.SafeHours!.Value - many.SafeHours!.Value) / width,
        ];
    }
}
