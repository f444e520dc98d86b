using System.Text.RegularExpressions;
using Pourwright.Evidence.Suspects;
using static Pourwright.Evidence.Suspects.Bearing;
using static Pourwright.Evidence.Suspects.Factor;

namespace Pourwright.Evidence.Tests.Suspects;

/// <summary>Limits are common practice, no source; a value on a limit counts as beyond it, but for what a data sheet allows.</summary>
public sealed partial class PhysicalRulesTests
{
    private static readonly CureAtLook Cured = new(48, true, 0.9, 30, 25, 33, 20, 35, 45, 80);

    private static readonly CureAtLook Uncured = Cured with { TgCelsius = 12, SlowTgCelsius = 8, FastTgCelsius = 16 };

    private static readonly CureAtLook Open = Cured with { TgCelsius = 21, SlowTgCelsius = 17, FastTgCelsius = 25 };

    private static readonly PieceConditions Recorded = new()
    {
        Cure = Cured, RoomLowCelsius = 18, MinCureCelsius = 15, BelowMinimumHours = 0, HumidityPercent = 50, DewPointMarginKelvin = 8,
        RatioDeviationPercent = 1, RatioTolerancePercent = 2, DepthMm = 30, MaxDepthMm = 40, ResinCelsius = 22, WoodMoisturePercent = 9,
    };

    private static readonly Dictionary<string, PieceConditions> Conditions = new()
    {
        ["as they should be"] = Recorded,
        ["cured too little"] = Recorded with { Cure = Uncured },
        ["cured one cannot tell"] = Recorded with { Cure = Open },
        ["cold for an hour"] = Recorded with { BelowMinimumHours = 1, RoomLowCelsius = 14 },
        ["B short"] = Recorded with { RatioDeviationPercent = -5 },
        ["B at its limit"] = Recorded with { RatioDeviationPercent = 2 },
        ["damp at the limit"] = Recorded with { HumidityPercent = 70 },
        ["near the dew point"] = Recorded with { DewPointMarginKelvin = 2.9 },
        ["wet wood"] = Recorded with { WoodMoisturePercent = 12 },
        ["cold mix"] = Recorded with { ResinCelsius = 19.9 },
        ["too deep"] = Recorded with { DepthMm = 41 },
        ["surely too hot"] = Recorded with { Cure = Cured with { SlowPeakCelsius = 85, FastPeakCelsius = 120 } },
        ["perhaps too hot"] = Recorded with { Cure = Cured with { SlowPeakCelsius = 75, FastPeakCelsius = 90 }, MaxDepthMm = null },
        ["found, not demolded"] = Recorded with { Cure = Uncured with { IsDemold = false } },
        ["unknown"] = new(),
    };

    [Theory]
    [InlineData(DefectKind.Soft, "as they should be", LotB, For)]
    [InlineData(DefectKind.Soft, "as they should be", ConversionAtDemold, Against)]
    [InlineData(DefectKind.Soft, "as they should be", RatioDeviation, Against)]
    [InlineData(DefectKind.Soft, "as they should be", Humidity, null)]
    [InlineData(DefectKind.Soft, "as they should be", Instructor, null)]
    [InlineData(DefectKind.Soft, "cured too little", LotB, Against)]
    [InlineData(DefectKind.Soft, "cured too little", HoursToDemold, For)]
    [InlineData(DefectKind.Soft, "cured one cannot tell", ConversionAtDemold, Unknown)]
    [InlineData(DefectKind.Soft, "cured one cannot tell", LotB, null)]
    [InlineData(DefectKind.Soft, "B short", RatioDeviation, For)]
    [InlineData(DefectKind.Soft, "B short", Scale, For)]
    [InlineData(DefectKind.Soft, "B at its limit", RatioDeviation, Against)]
    [InlineData(DefectKind.Soft, "unknown", LotB, null)]
    [InlineData(DefectKind.Soft, "unknown", ConversionAtDemold, Unknown)]
    [InlineData(DefectKind.Soft, "unknown", Temperature, Unknown)]
    [InlineData(DefectKind.LowHardness, "cured too little", LotA, Against)]
    [InlineData(DefectKind.SoftPatches, "cold mix", Mix, For)]
    [InlineData(DefectKind.SoftPatches, "cured too little", LotB, null)]
    [InlineData(DefectKind.TackySkin, "damp at the limit", Humidity, For)]
    [InlineData(DefectKind.TackySkin, "as they should be", Humidity, Against)]
    [InlineData(DefectKind.TackySkin, "near the dew point", DewPointMargin, For)]
    [InlineData(DefectKind.TackySkin, "unknown", Humidity, Unknown)]
    [InlineData(DefectKind.Bubbles, "wet wood", WoodMoisture, For)]
    [InlineData(DefectKind.Bubbles, "cold mix", Mix, For)]
    [InlineData(DefectKind.Cracks, "too deep", Depth, For)]
    [InlineData(DefectKind.Cracks, "surely too hot", Depth, For)]
    [InlineData(DefectKind.Cracks, "perhaps too hot", Depth, Unknown)]
    [InlineData(DefectKind.Cracks, "as they should be", Depth, Against)]
    [InlineData(DefectKind.Delamination, "wet wood", WoodMoisture, For)]
    [InlineData(DefectKind.Delamination, "cured too little", HoursToDemold, For)]
    [InlineData(DefectKind.Warp, "cured too little", HoursToDemold, For)]
    [InlineData(DefectKind.Warp, "as they should be", HoursToDemold, Against)]
    [InlineData(DefectKind.Warp, "found, not demolded", HoursToDemold, Unknown)]
    [InlineData(DefectKind.Leak, "unknown", Depth, null)]
    public void Conditions_SpeakOfAFactor(DefectKind kind, string conditions, Factor factor, Bearing? bearing)
    {
        Bearing?[] said = [.. PhysicalRules.Of("piece", kind, Conditions[conditions]).Where(e => e.Factor == factor).Select(e => (Bearing?)e.Bearing).Distinct()];
        Assert.Equal(bearing is null ? [] : [bearing], said);
    }

    // Demolded early in a room that never was too cold: the hours are to blame, and of the room it speaks both ways.
    [Fact]
    public void EarlyDemold_InAWarmRoom_BlamesTheHoursAndLeavesTheRoomOpen()
    {
        var said = PhysicalRules.Of("piece", DefectKind.Soft, Conditions["cured too little"]).ToLookup(e => e.Factor, e => e.Bearing);
        Assert.Equal([For], said[HoursToDemold]);
        Assert.Equal([For, Against], said[Temperature]);
    }

    // Enough cure speaks for what went into the cup, a ratio that is off against the lots: of these two, only the weighing is left.
    [Fact]
    public void OffRatio_InARoomThatCured_LeavesTheWeighingAlone()
    {
        var said = PhysicalRules.Of("piece", DefectKind.Soft, Conditions["B short"]).ToLookup(e => e.Factor, e => e.Bearing);
        Assert.Equal([For, Against], said[LotB]);
        Assert.All(said[Mix].Concat(said[Scale]).Concat(said[RatioDeviation]), bearing => Assert.Equal(For, bearing));
    }

    // 100 A and 42 B wanted; with B over by 10 % it is 46.2, of which 4.2 find no partner: 4.2/46.2 = 9.1 %.
    [Fact]
    public void TooMuchB_SaysHowMuchStaysBehind() => Assert.Contains(
        PhysicalRules.Of("piece", DefectKind.Soft, Recorded with { RatioDeviationPercent = 10 }),
        e => e.Reason == "B is 10 % over, 2 % are allowed: at least 9.1 % of B stays behind and softens. How much is not known.");

    [Fact]
    public void EveryStatement_HasAReasonThatIsASentence() => Assert.All(
        Enum.GetValues<DefectKind>().SelectMany(kind => Conditions.Values.SelectMany(conditions => PhysicalRules.Of("piece", kind, conditions))),
        e => Assert.Matches("^[A-Z].+\\.$", e.Reason));

    /// <summary>Whoever says it in words of their own misses no number.</summary>
    [Fact]
    public void EveryFinding_KeepsEveryNumberOfItsText() => Assert.All(
        Enum.GetValues<DefectKind>().SelectMany(kind => Conditions.Values.SelectMany(conditions => PhysicalRules.Of("piece", kind, conditions))),
        e =>
        {
            Assert.Equal(e.Reason, e.Finding!.Text);
            Assert.Empty(Number().Matches(e.Reason).Select(match => match.Value).Except(e.Finding.Facts.Select(fact => fact.Value)));
        });

    [GeneratedRegex(@"\d+(?:\.\d+)?")]
    private static partial Regex Number();
}
