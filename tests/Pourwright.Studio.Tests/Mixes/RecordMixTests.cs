using Pourwright.Studio.Lots;
using Pourwright.Studio.Mixes;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Resins;
using Pourwright.Studio.Storage;
using Pourwright.Studio.Tests.Lots;
using Pourwright.V1;
using Basis = Pourwright.V1.ResinSystem.Types.Basis;
using LimitAction = Pourwright.V1.ResinSystem.Types.LimitAction;
using State = Pourwright.V1.Container.Types.State;

namespace Pourwright.Studio.Tests.Mixes;

public sealed class RecordMixTests
{
    private const long NowMs = 100_000_000;

    private static readonly ResinSystemRecord Deep = MixRatioTests.System(Basis.Mass, 42, 2);
    private static readonly ContainerContents A = LotRows.Container("can-a", Part.A);
    private static readonly ContainerContents B = LotRows.Container("can-b", Part.B);
    private static readonly ContainerContents Pigment = LotRows.Container("blue", Part.Pigment);

    [Fact]
    public void Mix_InRatio_DrawsExactlyAndSaysNothing()
    {
        var (mix, containers) = Decide(Deep, (A, 500_000), (B, 210_000), (Pigment, 7_000));

        Assert.Equal((500_000L, 210_000L, 7_000L, 717_000L), (mix.AMassMg, mix.BMassMg, mix.PigmentMassMg, mix.RemainingMassMg));
        Assert.Equal("[]", mix.Cautions);
        Assert.Equal([500_000L, 790_000L, 993_000L], containers.Select(change => change.Container.RemainingMassMg));
    }

    [Fact]
    public void Mix_ThatEmptiesACan_SpendsIt() =>
        Assert.Equal(State.Spent, Decide(Deep, (A, 1_000_000), (B, 420_000)).Containers[0].Container.State);

    [Fact]
    public void Ratio_OutOfTolerance_NamesTheGramsThatBringItRight()
    {
        var refusal = Assert.Throws<Refusal>(() => Decide(Deep, (A, 100_000), (B, 50_000)));

        Assert.Equal(Reasons.RatioOutOfTolerance, refusal.Reason);
        Assert.Contains("19.048 g more of part A", refusal.Message, StringComparison.Ordinal);
        Assert.Equal(("A", "19048", "50", "+19.0"),
            (refusal.Facts["add_part"], refusal.Facts["add_mass_mg"], refusal.Facts["hardener_parts_per_100_resin"], refusal.Facts["deviation_percent"]));
    }

    [Fact]
    public void Ratio_OutOfToleranceAndKnown_IsRecordedWithACaution()
    {
        var (mix, _) = Decide(Deep, NowMs, "the jug slipped", (A, 100_000), (B, 50_000));

        Assert.Equal([Reasons.RatioOutOfTolerance], Cautions(mix));
        Assert.Equal(100 * 8.0 / 42, mix.RatioDeviationPercent, 1e-9);
    }

    [Fact]
    public void Ratio_WeighedOnTheWrongBasis_SaysSo()
    {
        var coat = Deep with { Basis = Basis.Volume, HardenerPartsPer100Resin = 50, ADensityKgPerM3 = 1150, BDensityKgPerM3 = 960 };

        var refusal = Assert.Throws<Refusal>(() => Decide(coat, (A, 200_000), (B, 100_000)));

        Assert.Contains("as if it were by mass", refusal.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(142_000, LimitAction.Refuse, "", null)]
    [InlineData(141_999, LimitAction.Warn, "", Reasons.BatchTooLarge)]
    [InlineData(141_999, LimitAction.Refuse, "poured at once", Reasons.BatchTooLarge)]
    public void Batch_OverItsLimit_IsLetThroughWithACaution(long maxMassMg, LimitAction action, string why, string? caution)
    {
        var (mix, _) = Decide(Deep with { MaxBatchMassMg = maxMassMg, BatchLimitAction = action }, NowMs, why, (A, 100_000), (B, 42_000));

        Assert.Equal(caution is null ? [] : [caution], Cautions(mix));
    }

    [Fact]
    public void Batch_OverALimitThatRefuses_IsRefused() => Assert.Equal(Reasons.BatchTooLarge, Assert.Throws<Refusal>(
        () => Decide(Deep with { MaxBatchMassMg = 141_999, BatchLimitAction = LimitAction.Refuse }, (A, 100_000), (B, 42_000))).Reason);

    [Theory]
    [InlineData(NowMs + 1, null)]
    [InlineData(NowMs, Reasons.ContainerExpired)]
    public void Container_FromItsExpiryOn_IsRefused(long expireMs, string? reason)
    {
        var aging = A.With(c => c with { ExpireMs = expireMs });

        Assert.Equal(reason, ReasonOf(() => Decide(Deep, (aging, 100_000), (B, 42_000))));
    }

    [Fact]
    public void Container_ExpiredNowButNotAtTheMixTime_IsAccepted()
    {
        var aging = A.With(c => c with { ExpireMs = NowMs - 1000 });

        Assert.Null(ReasonOf(() => Decide(Deep, NowMs - 2000, "", (aging, 100_000), (B, 42_000))));
        Assert.Equal(Reasons.ContainerExpired, ReasonOf(() => Decide(Deep, NowMs - 1000, "", (aging, 100_000), (B, 42_000))));
    }

    [Fact]
    public void SealedContainer_DrawnFrom_CountsAsOpenedAtTheMixTime()
    {
        var can = A.With(c => c with { State = State.Sealed, OpenMs = null });

        var (mix, containers) = Decide(Deep with { OpenedShelfLifeMs = 500 }, NowMs - 9, "", (can, 100_000), (B, 42_000));

        Assert.Equal([Reasons.ContainerOpened], Cautions(mix));
        Assert.Equal(["opened", "mixed"], containers[0].Events.Select(e => e.Kind));
        Assert.Equal((State.Open, NowMs - 9, NowMs + 491),
            (containers[0].Container.State, containers[0].Container.OpenMs!.Value, containers[0].Container.ExpireMs!.Value));
    }

    [Fact]
    public void SealedPigment_DrawnFrom_IsOpenedAndKeepsItsOwnDate()
    {
        var pot = Pigment.With(c => c with { State = State.Sealed, OpenMs = null, ExpireMs = NowMs + 9_000 });

        var (_, containers) = Decide(Deep with { OpenedShelfLifeMs = 500 }, (A, 100_000), (B, 42_000), (pot, 1_000));

        Assert.Equal((State.Open, NowMs, NowMs + 9_000),
            (containers[2].Container.State, containers[2].Container.OpenMs!.Value, containers[2].Container.ExpireMs!.Value));
    }

    [Fact]
    public void TwoLotsOfAPart_InOneMix_WidenTheTrace()
    {
        var tank = A with { Lots = [LotRows.Lot("lot-1", Part.A), LotRows.Lot("lot-2", Part.A)] };

        var (mix, _) = Decide(Deep, (tank, 100_000), (B, 42_000));

        var caution = Assert.Single(MessageListJson.Read<Caution>(mix.Cautions));
        Assert.Equal((Reasons.SeveralLots, "A", "studios/alder/lots/lot-1, studios/alder/lots/lot-2"),
            (caution.Reason, caution.Facts["part"], caution.Facts["lots"]));
    }

    [Fact]
    public void PotLife_CountsFromTheMixTime()
    {
        var sheet = Deep with { DataSheet = """{ "potLife": "10800s", "potLifeBatchMassMg": "1000000", "potLifeTemperatureCelsius": 23 }""" };

        Assert.Equal(NowMs - 60_000 + 10_800_000, Decide(sheet, NowMs - 60_000, "", (A, 100_000), (B, 42_000)).Mix.PotLifeEndMs);
        Assert.Null(Decide(Deep, (A, 100_000), (B, 42_000)).Mix.PotLifeEndMs);
    }

    [Theory]
    [InlineData(0, NowMs)]
    [InlineData(300_000, NowMs)]
    [InlineData(-60_000, NowMs - 60_000)]
    public void MixTime_WithinFiveMinutesAhead_CountsAsNow(long aheadMs, long expectedMs) =>
        Assert.Equal(expectedMs, Decide(Deep, NowMs + aheadMs, "", (A, 100_000), (B, 42_000)).Mix.MixMs);

    [Fact]
    public void MixTime_FurtherAhead_IsRefused() =>
        Assert.Equal(Reasons.TimeInFuture, ReasonOf(() => Decide(Deep, NowMs + 300_001, "", (A, 100_000), (B, 42_000))));

    // Five minutes are what a device's clock may be off; a tank counts from the first lot in it.
    [Theory]
    [InlineData(-300_001, Reasons.TimeOutOfOrder)]
    [InlineData(-300_000, null)]
    public void MixTime_BeforeItsLotsCameIn_IsRefused(long afterMs, string? reason)
    {
        ContainerContents At(ContainerContents contents, params long[] receiveMs) =>
            contents with { Lots = [.. receiveMs.Select(ms => contents.Lots[0] with { ReceiveMs = ms })] };
        var (tank, can) = (At(A, NowMs, NowMs / 2), At(B, NowMs / 2 - 1));

        Assert.Equal(reason, ReasonOf(() => Decide(Deep, NowMs / 2 + afterMs, "", (tank, 100_000), (can, 42_000))));
    }

    private static (MixRecord Mix, IReadOnlyList<ContainerChange> Containers) Decide(
        ResinSystemRecord system, params (ContainerContents From, long MassMg)[] draws) => Decide(system, NowMs, "", draws);

    private static (MixRecord Mix, IReadOnlyList<ContainerChange> Containers) Decide(
        ResinSystemRecord system, long mixMs, string deviationReason, params (ContainerContents From, long MassMg)[] draws)
    {
        var request = new RecordMixRequest
        {
            Parent = LotRows.Studio,
            Mix = new()
            {
                Site = LotRows.North.Name,
                ResinSystem = system.Name,
                Mixer = "Ivo",
                MixTime = Instants.ToTimestamp(mixMs),
                DeviationReason = deviationReason,
                Draws = { draws.Select(draw => new Mix.Types.Draw { Container = draw.From.Container.Name, MassMg = draw.MassMg }) },
            },
        };
        RecordMix.Check(request);
        return RecordMix.Decide(request, $"{LotRows.Studio}/mixes/mix", new MixFacts(LotRows.North, system, [.. draws.Select(draw => draw.From)], NowMs));
    }

    private static string[] Cautions(MixRecord mix) => [.. MessageListJson.Read<Caution>(mix.Cautions).Select(caution => caution.Reason)];

    private static string? ReasonOf(Action act) => Record.Exception(act) is Refusal refusal ? refusal.Reason : null;
}
