using Pourwright.Cure.Learning;
using Pourwright.Cure.Readiness;
using Pourwright.Cure.Tests.Readiness;

namespace Pourwright.Cure.Tests.Learning;

/// <summary>What is refused: one row a refusal, with the quantity it names.</summary>
public class LearningRangeTests
{
    private static readonly PieceCase Plain = Pieces.Deep();

    public static IEnumerable<object[]> Observations =>
    [
        ["Time of a check", new TouchSeen(-1, Touch.Firm)],
        ["Time of a check", new TouchSeen(337, Touch.Firm)],
        ["Time of a check", new TouchSeen(double.NaN, Touch.Firm)],
        ["Time of a check", new ShoreSeen(337, 60)],
        ["Time of a check", new ShoreBelowScale(337)],
        ["Time of a check", new SurfaceSeen(337, 30)],
        ["Shore D", new ShoreSeen(30, 101)],
        ["Shore D", new ShoreSeen(30, double.NaN)],
        ["Start of the Shore D scale", new ShoreBelowScale(30, -1)],
        ["Surface temperature", new SurfaceMaximum(301)],
        ["Surface temperature", new SurfaceSeen(30, -21)],
        ["Surface temperature", new SurfaceReached(double.NaN)],
        ["Number of looks", new GateSeen(CureGate.Demold, null, null)],
        ["Time of the look before", new GateSeen(CureGate.Demold, 337, null)],
        ["Time of the look (after the one before)", new GateSeen(CureGate.Demold, 40, 40)],
        ["Time of the look (after the one before)", new GateSeen(CureGate.Demold, null, 337)],
    ];

    public static IEnumerable<object[]> Priors =>
    [
        ["Spread of the rate of a resin", new LearningPrior { ResinRateLnSd = -0.1 }],
        ["Spread of the rate of a lot", new LearningPrior { LotRateLnSd = 0.6 }],
        ["Spread of the rate of a site", new LearningPrior { SiteRateLnSd = double.NaN }],
        ["Spread of the rate of a pour", new LearningPrior { PourRateLnSd = 0.6 }],
        ["Number of draws", new LearningPrior { Draws = 199 }],
        ["Spread of the ambient", new LearningPrior { Others = new() { AmbientOffsetSdKelvin = 11 } }],
    ];

    public static IEnumerable<object[]> Scales =>
    [
        ["Firm from (above tacky below)", new EvidenceScales { FirmFromKelvin = -19 }],
        ["Tacky below", new EvidenceScales { TackyBelowKelvin = -101 }],
        ["Spread of a touch", new EvidenceScales { TouchSdKelvin = 0 }],
        ["Final Shore D", new EvidenceScales { FinalShoreD = 101 }],
        ["Offset of Shore D", new EvidenceScales { ShoreOffsetKelvin = 51 }],
        ["Width of Shore D", new EvidenceScales { ShoreWidthKelvin = 0 }],
        ["Spread of Shore D", new EvidenceScales { ShoreSd = 0 }],
        ["Spread of a surface temperature", new EvidenceScales { SurfaceSdKelvin = double.NaN }],
        ["Spread of calling a gate open", new EvidenceScales { ReadyLnSd = 0 }],
        ["Share of lapses", new EvidenceScales { LapseShare = 0.6 }],
    ];

    [Theory]
    [MemberData(nameof(Observations))]
    public void Observation_OutsideARange_IsRefusedByName(string quantity, Observation seen) =>
        AssertRefused(quantity, () => ResinBelief.Before().Given(Piece(Plain) with { Observations = [seen] }));

    [Theory]
    [MemberData(nameof(Priors))]
    public void Prior_OutsideARange_IsRefusedByName(string quantity, LearningPrior prior) =>
        AssertRefused(quantity, () => ResinBelief.Before(prior));

    [Theory]
    [MemberData(nameof(Scales))]
    public void Scale_OutsideARange_IsRefusedByName(string quantity, EvidenceScales scales) =>
        AssertRefused(quantity, () => ResinBelief.Before(scales: scales));

    [Fact]
    public void Piece_OfTwoResins_IsRefused() => AssertRefused("Number of resins in a piece that learns", () => ResinBelief.Before().Given(
        Piece(Plain with { Layers = [Plain.Layers[0], new(40, 5, 20, ResinCureModel.FastCoating)] })));

    [Fact]
    public void Course_WithoutWeight_IsRefused() => AssertRefused("Weight of a course of the air", () => ResinBelief.Before().Given(
        Piece(Plain) with { Scenarios = [new(0, Plain.Ambient)] }));

    [Fact]
    public void Course_OutsideTheRangeOfTheAir_IsRefused() => AssertRefused("Ambient temperature", () => ResinBelief.Before().Given(
        Piece(Plain) with { Scenarios = [new(1, [new(0, 51)])] }));

    private static ObservedPiece Piece(PieceCase piece) => new() { Pour = "1", Lot = "L7", Site = "north", Piece = piece };

    private static void AssertRefused(string quantity, Action ask)
    {
        var refusal = Assert.Throws<CureRangeException>(ask);
        Assert.Equal(quantity, refusal.Quantity);
        Assert.False(refusal.Value >= refusal.Lowest && refusal.Value <= refusal.Highest);
    }
}
