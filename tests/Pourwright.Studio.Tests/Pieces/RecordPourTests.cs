using Pourwright.Studio.Mixes;
using Pourwright.Studio.Pieces;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Resins;
using Pourwright.V1;
using LimitAction = Pourwright.V1.ResinSystem.Types.LimitAction;
using PieceState = Pourwright.V1.Piece.Types.State;

namespace Pourwright.Studio.Tests.Pieces;

public sealed class RecordPourTests
{
    private const string Other = "studios/alder/resinSystems/coat";

    [Fact]
    public void Pour_OfAllThatIsLeft_IsAccepted() => Assert.Equal(1_000_000, Decide(1, Facts(), mg: 1_000_000).Pour.MassMg);

    [Fact]
    public void Pour_OfOneMilligramMore_IsShortAndSaysWhatIsThere()
    {
        var refusal = Assert.Throws<Refusal>(() => Decide(1, Facts(), mg: 1_000_001));

        Assert.Equal((Reasons.MixShort, "1000 g", "1000.001 g"), (refusal.Reason, refusal.Facts["remaining_mass"], refusal.Facts["pour_mass"]));
        Assert.Contains("holds 1000 g", refusal.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Pour_First_StartsTheCureOnItsBench()
    {
        var (pour, piece) = Decide(1, Facts());

        Assert.Equal((PieceState.Curing, pour.Bench, 1), (piece.State, piece.Bench, pour.LayerCount));
    }

    [Fact]
    public void Pour_WrittenDownAfterAMove_LeavesThePieceWhereItWasCarried()
    {
        // First layer at hour 0, carried to the warm box at hour 2, the second layer of hour 1 is written down at hour 3.
        var warmBox = PieceFacts.Bench("warm-box").Name;
        var facts = Facts() with
        {
            Piece = PieceFacts.Piece(PieceState.Curing) with { Bench = warmBox },
            Pours = [PieceFacts.Pour(1, 0)],
            LastMoveMs = 2 * PieceFacts.HourMs,
        };

        Assert.Equal(warmBox, Decide(1, facts).Piece.Bench);
        Assert.Equal(PieceFacts.Bench("shelf").Name, Decide(2.5, facts).Piece.Bench);
    }

    [Theory]
    // The limit is 40 mm.
    [InlineData(40.0, LimitAction.Refuse, "", "")]
    [InlineData(40.1, LimitAction.Warn, "", "DEPTH_OVER_LIMIT")]
    [InlineData(40.1, LimitAction.Unspecified, "", "DEPTH_OVER_LIMIT")]
    [InlineData(40.1, LimitAction.Refuse, "The dam gave way", "DEPTH_OVER_LIMIT")]
    public void Depth_AgainstTheLimit_IsAcceptedWith(double depthMm, LimitAction action, string deviation, string expected) =>
        Assert.Equal(expected, Cautions(1, Facts() with { ResinSystem = System(action) }, new() { MassMg = 1, DepthMm = depthMm, DeviationReason = deviation }));

    [Fact]
    public void Depth_OverALimitThatRefuses_IsRefused() => Assert.Equal(Reasons.DepthOverLimit,
        Assert.Throws<Refusal>(() => Decide(1, Facts(), depthMm: 40.1)).Reason);

    [Fact]
    public void Depth_WithoutALimit_IsAccepted() =>
        Assert.Equal("", Cautions(1, Facts() with { ResinSystem = System(LimitAction.Refuse) with { MaxDepthMm = null } }, new() { MassMg = 1, DepthMm = 200 }));

    [Theory]
    // Mixed at hour 0, the pot life ends at hour 3.
    [InlineData(3.0, "")]
    [InlineData(3.01, "POT_LIFE_PAST")]
    public void PotLife_AtThePour_IsToldWhenPast(double hours, string expected) => Assert.Equal(expected, Cautions(hours, Facts()));

    [Theory]
    // Dew point at 20 °C and 65 %: g = ln 0.65 + 17.62 · 20/263.12 = 0.9085, 243.12 g/(17.62 − g) = 13.2 °C, by the Magnus form with
    // the coefficients of WMO No. 8. With a margin of 3 °C the surface must be 16.2 °C.
    [InlineData(16.3, 65.0, "")]
    [InlineData(16.1, 65.0, "SURFACE_NEAR_DEW_POINT")]
    [InlineData(5.0, 65.0, "SURFACE_NEAR_DEW_POINT")]
    // Air of less than 1 % wets nothing and has no dew point in the formula's range.
    [InlineData(-20.0, 0.5, "")]
    public void Surface_AgainstTheDewPoint_IsTold(double surfaceCelsius, double humidityPercent, string expected) => Assert.Equal(expected,
        Cautions(1, Facts() with { Air = new(20, humidityPercent, 0) }, new() { MassMg = 1, DepthMm = 20, SurfaceTemperatureCelsius = surfaceCelsius }));

    [Fact]
    public void Surface_WithoutAReading_IsUnknownAndRaisesNothing() =>
        Assert.Equal("", Cautions(1, Facts(), new() { MassMg = 1, DepthMm = 20, SurfaceTemperatureCelsius = -20 }));

    [Theory]
    [InlineData(7.9, "WOOD_MOISTURE")]
    [InlineData(8.0, "")]
    [InlineData(12.0, "")]
    [InlineData(12.1, "WOOD_MOISTURE")]
    [InlineData(null, "")]
    public void Wood_AtTheFirstPour_IsToldOutsideItsWindow(double? moisturePercent, string expected)
    {
        var facts = Facts();
        facts = facts with { Piece = facts.Piece with { WoodMoisturePercent = moisturePercent } };

        Assert.Equal(expected, Cautions(1, facts));
        Assert.Equal("", Cautions(1, facts with { Pours = [PieceFacts.Pour(1, 0)] }));
    }

    [Theory]
    [InlineData(Other, "RESIN_SYSTEM_CHANGED")]
    [InlineData("studios/alder/resinSystems/deep", "")]
    public void Resin_OverAnotherLayer_IsToldWhereItIsAnother(string below, string expected) => Assert.Equal(expected,
        Cautions(1, Facts() with { Pours = [PieceFacts.Pour(1, 0)], ResinSystemsBelow = [below] }));

    [Fact]
    public void HeldPiece_IsPouredWithACautionThatSaysWhy()
    {
        var facts = Facts();
        facts = facts with { Piece = facts.Piece with { HoldReason = "lot-b7 stays soft" } };

        var caution = Assert.Single(MessageListJson.Read<Caution>(Decide(1, facts).Pour.Cautions));

        Assert.Equal(("PIECE_HELD", "lot-b7 stays soft"), (caution.Reason, caution.Facts["hold_reason"]));
        Assert.Contains("set it apart", caution.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Times_BeforeMixOrEarlierPour_AreOutOfOrder()
    {
        var poured = Facts() with { Pours = [PieceFacts.Pour(1, 2)] };

        Assert.Equal(Reasons.TimeOutOfOrder, Assert.Throws<Refusal>(() => Decide(-0.01, Facts())).Reason);
        Assert.Equal(Reasons.TimeOutOfOrder, Assert.Throws<Refusal>(() => Decide(1.99, poured)).Reason);
        Assert.Equal(2, Decide(2, poured).Pour.LayerCount);
    }

    private static string Cautions(double hours, PourFacts facts, Pour? pour = null) => string.Join(' ',
        MessageListJson.Read<Caution>(Decide(hours, facts, pour ?? new() { MassMg = 1, DepthMm = 20 }).Pour.Cautions).Select(caution => caution.Reason));

    private static PourDecision Decide(double hours, PourFacts facts, long mg = 1, double depthMm = 20) =>
        Decide(hours, facts, new Pour { MassMg = mg, DepthMm = depthMm });

    private static PourDecision Decide(double hours, PourFacts facts, Pour pour) =>
        RecordPour.Decide($"{PieceFacts.Name}/pours/new", pour, facts, (long)(hours * PieceFacts.HourMs));

    private static PourFacts Facts() => new()
    {
        Piece = PieceFacts.Piece(PieceState.Prepared),
        Site = PieceFacts.Site,
        Bench = PieceFacts.Bench("shelf"),
        ResinSystem = System(LimitAction.Refuse),
        Options = new(),
        Mix = new()
        {
            Name = "studios/alder/mixes/first",
            Studio = "studios/alder",
            Site = PieceFacts.Site.Name,
            ResinSystem = "studios/alder/resinSystems/deep",
            MixMs = 0,
            Mixer = "Ivo",
            Scale = "",
            DeviationReason = "",
            AMassMg = 704_225,
            BMassMg = 295_775,
            PigmentMassMg = 0,
            HardenerPartsPer100Resin = 42,
            RatioDeviationPercent = 0,
            PotLifeEndMs = 3 * PieceFacts.HourMs,
            Cautions = "[]",
            RecordMs = 0,
            RemainingMassMg = 1_000_000,
        },
    };

    private static ResinSystemRecord System(LimitAction depthAction) => new()
    {
        Name = "studios/alder/resinSystems/deep",
        Studio = "studios/alder",
        DisplayName = "Deep casting",
        Basis = ResinSystem.Types.Basis.Mass,
        HardenerPartsPer100Resin = 42,
        RatioTolerancePercent = 2,
        CureClass = ResinSystem.Types.CureClass.DeepCasting,
        MaxDepthMm = 40,
        DepthLimitAction = depthAction,
        BatchLimitAction = LimitAction.Refuse,
        MinCureTemperatureCelsius = 15,
    };
}
