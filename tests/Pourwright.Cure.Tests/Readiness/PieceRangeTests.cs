using Pourwright.Cure.Kinetics;
using Pourwright.Cure.Ladder;
using Pourwright.Cure.Readiness;

namespace Pourwright.Cure.Tests.Readiness;

/// <summary>What is refused: one row a refusal, with the quantity it names.</summary>
public class PieceRangeTests
{
    private static readonly PieceCase Plain = Pieces.Deep();
    private static readonly PouredLayer Pour = Plain.Layers[0];

    public static IEnumerable<object[]> Refusals =>
    [
        Row("Horizon", Plain with { HorizonHours = 0.5 }),
        Row("Horizon", Plain with { HorizonHours = 2001 }),
        Row("Horizon", Plain with { HorizonHours = double.NaN }),
        Row("Board thickness (0 for none)", Plain with { BoardThicknessMm = 2 }),
        Row("Board thickness (0 for none)", Plain with { BoardThicknessMm = -18 }),
        Row("Board thickness (0 for none)", Plain with { BoardThicknessMm = double.NaN }),
        Row("Side sink", Plain with { SideSinkWattsPerCubicMetreKelvin = -1 }),
        Row("Number of ambient points", Plain with { Ambient = [] }),
        Row("Ambient temperature", Plain with { Ambient = [new(0, -10.5)] }),
        Row("Ambient temperature", Plain with { Ambient = [new(0, 20), new(4, 50.5)] }),
        Row("Ambient temperature", Plain with { Ambient = [new(0, double.NaN)] }),
        Row("Time of an ambient point (after the one before)", Plain with { Ambient = [new(5, 20), new(4, 20)] }),
        Row("Time of an ambient point (after the one before)", Plain with { Ambient = [new(5, 20), new(5, 21)] }),
        Row("Time of an ambient point (after the one before)", Plain with { Ambient = [new(double.NaN, 20)] }),
        Row("Number of layers", Plain with { Layers = [] }),
        Row("Time of the first layer", Plain with { Layers = [Pour with { AtHours = 1 }] }),
        Row("Time of a layer (after the one before)", Plain with { Layers = [Pour, Pour] }),
        Row("Time of a layer (after the one before)",
            Plain with { Layers = [Pour, Pour with { AtHours = 30 }, Pour with { AtHours = 20 }] }),
        Row("Time of a layer (after the one before)", Plain with { Layers = [Pour, Pour with { AtHours = 336 }] }),
        Row("Depth of a layer", Plain with { Layers = [Pour with { DepthMm = 0 }] }),
        Row("Depth of a layer", Plain with { Layers = [Pour with { DepthMm = 151 }] }),
        Row("Depth of a layer", Plain with { Layers = [Pour with { DepthMm = double.PositiveInfinity }] }),
        Row("Temperature of the pour", Plain with { Layers = [Pour with { TemperatureCelsius = 4 }] }),
        Row("Temperature of the pour", Plain with { Layers = [Pour with { TemperatureCelsius = 61 }] }),
        Row("Temperature of the pour", Plain with { Layers = [Pour with { TemperatureCelsius = double.NaN }] }),
        Row("Rate constant k1", With(chemistry: c => c with { K1PerSecond = -1e-6 })),
        Row("Rate constant k2", With(chemistry: c => c with { K2PerSecond = double.NaN })),
        Row("Activation energy E1", With(chemistry: c => c with { E1JoulesPerMole = 50 })),
        Row("Activation energy E2", With(chemistry: c => c with { E2JoulesPerMole = 150e3 })),
        Row("Exponent m", With(chemistry: c => c with { M = 0 })),
        Row("Exponent n", With(chemistry: c => c with { N = 5 })),
        Row("Heat of reaction", With(resin: r => r with { HeatOfReactionJPerKg = 310 })),
        Row("Density", With(resin: r => r with { DensityKgPerM3 = 1.1 })),
        Row("Specific heat", With(resin: r => r with { SpecificHeatJPerKgK = 1.85 })),
        Row("Conductivity", With(resin: r => r with { ConductivityWPerMK = 0 })),
        Row("Glass transition of the liquid", With(glass: g => g with { UncuredKelvin = -40 })),
        Row("Glass transition at full cure", With(glass: g => g with { CuredKelvin = 52 })),
        Row("Lambda of the glass transition", With(glass: g => g with { Lambda = 0 })),
    ];

    public static IEnumerable<object[]> SpreadRefusals =>
    [
        ["Spread of the rate", new CureSpread { RateLnSd = -0.1 }],
        ["Spread of the rate", new CureSpread { RateLnSd = 1.1 }],
        ["Spread of the heat of reaction", new CureSpread { HeatLnSd = 0.6 }],
        ["Spread of the heat loss", new CureSpread { HeatLossLnSd = double.NaN }],
        ["Spread of the ambient", new CureSpread { AmbientOffsetSdKelvin = 11 }],
        ["Spread of the glass transition", new CureSpread { TgOffsetSdKelvin = 21 }],
        ["Number of draws", new CureSpread { Draws = 7 }],
        ["Number of draws", new CureSpread { Draws = 10_001 }],
    ];

    [Theory]
    [MemberData(nameof(Refusals))]
    public void Piece_OutsideARange_IsRefusedByName(string quantity, PieceCase piece)
    {
        var refusal = Assert.Throws<CureRangeException>(() => LadderForecaster.Forecast(piece));
        Assert.Equal(quantity, refusal.Quantity);
        Assert.False(refusal.Value >= refusal.Lowest && refusal.Value <= refusal.Highest);
        Assert.Contains(quantity, refusal.Message);
    }

    [Theory]
    [MemberData(nameof(SpreadRefusals))]
    public void Spread_OutsideARange_IsRefusedByName(string quantity, CureSpread spread)
    {
        Assert.Equal(quantity, Assert.Throws<CureRangeException>(() => LadderForecaster.Forecast(Plain, spread)).Quantity);
    }

    [Theory]
    [InlineData(0.049)]
    [InlineData(20.1)]
    [InlineData(double.NaN)]
    public void RateScale_OutsideItsRange_IsRefused(double factor)
    {
        var refusal = Assert.Throws<CureRangeException>(() => ResinCureModel.DeepCasting.WithRateScale(factor));
        Assert.Equal("Rate scale", refusal.Quantity);
    }

    [Fact]
    public void Refusal_OfADepth_SaysValueRangeAndUnit()
    {
        var refusal = Assert.Throws<CureRangeException>(() => LadderForecaster.Forecast(Pieces.Deep(200)));
        Assert.Equal(("Depth of a layer", 200.0, 0.5, 150.0, "mm"),
            (refusal.Quantity, refusal.Value, refusal.Lowest, refusal.Highest, refusal.Unit));
        Assert.Equal(
            "Depth of a layer is 200 mm; the model holds from 0.5 to 150 mm. Give a value in that range.", refusal.Message);
    }

    // The edges themselves are inside.
    [Theory]
    [InlineData(0.5, 5, -10)]
    [InlineData(150, 60, 50)]
    public void Piece_AtTheEdgesOfEveryRange_IsAnswered(double depthMm, double pourCelsius, double roomCelsius)
    {
        var forecast = LadderForecaster.Forecast(Plain with
        {
            Layers = [new(0, depthMm, pourCelsius, ResinCureModel.FastCoating)], Ambient = [new(0, roomCelsius)],
        });
        Assert.InRange(forecast.Peak.LikelyCelsius, Math.Max(pourCelsius, roomCelsius) - 1e-6, 350);
    }

    private static object[] Row(string quantity, PieceCase piece) => [quantity, piece];

    private static PieceCase With(
        Func<ResinCureModel, ResinCureModel>? resin = null,
        Func<KamalSourour, KamalSourour>? chemistry = null,
        Func<DiBenedetto, DiBenedetto>? glass = null)
    {
        var changed = resin?.Invoke(Pour.Resin) ?? Pour.Resin;
        var reaction = changed.Reaction;
        reaction = reaction with
        {
            Chemistry = chemistry?.Invoke(reaction.Chemistry) ?? reaction.Chemistry,
            Glass = glass?.Invoke(reaction.Glass) ?? reaction.Glass,
        };
        return Plain with { Layers = [Pour with { Resin = changed with { Reaction = reaction } }] };
    }
}
