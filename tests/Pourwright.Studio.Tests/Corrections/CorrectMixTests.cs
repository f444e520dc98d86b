using Pourwright.Testing;
using Pourwright.V1;
using static Pourwright.Studio.Tests.Corrections.CorrectionDesk;
using Closure = Pourwright.V1.Reconciliation.Types.Closure;
using State = Pourwright.V1.Container.Types.State;

namespace Pourwright.Studio.Tests.Corrections;

public sealed class CorrectMixTests : IAsyncLifetime
{
    private const string Second = "studios/alder/mixes/second";

    private CorrectionDesk _desk = null!;

    public async Task InitializeAsync() => _desk = await StartAsync();

    public async Task DisposeAsync() => await _desk.DisposeAsync();

    [Fact]
    public async Task WrongCan_BeforeItsLotReachesThePiece_AfterTheRightOneDoesAndNotTheWrongOne()
    {
        Assert.Equal(("walnut", ""), (await _desk.ReachedAsync(LotA), await _desk.ReachedAsync(OtherLotA)));
        Assert.Contains(LotA, await _desk.LotsOfAsync(Walnut));

        await _desk.CorrectAsync(Draw(SampleStudio.DeepA, right: OtherA));

        Assert.Equal(("", "walnut"), (await _desk.ReachedAsync(LotA), await _desk.ReachedAsync(OtherLotA)));
        Assert.Equal(("", "walnut"), (await _desk.ReachedAsync(SampleStudio.DeepA), await _desk.ReachedAsync(OtherA)));
        Assert.Equal([OtherLotA, "studios/alder/lots/deep-b-lot"], await _desk.LotsOfAsync(Walnut));
        Assert.Empty((await _desk.Traces.TraceLotAsync(new() { Name = LotA })).Pieces);
    }

    [Fact]
    public async Task WrongCan_SistersFollowTheRightOne()
    {
        await _desk.MixAsync("second", OtherA);
        await _desk.PourAsync(Cherry, Second);
        string[] Shared(PieceTrace trace) =>
            [.. trace.Sisters.Where(factor => factor.Pieces.Contains(Cherry) && factor.Kind is "lot" or "container").Where(factor => factor.PieceCount > 0).Select(factor => factor.Value).Order()];

        var before = Shared(await _desk.Traces.TracePieceAsync(new() { Name = Walnut }));
        await _desk.CorrectAsync(Draw(SampleStudio.DeepA, right: OtherA));
        var after = Shared(await _desk.Traces.TracePieceAsync(new() { Name = Walnut }));

        Assert.Equal([SampleStudio.DeepB, "studios/alder/lots/deep-b-lot"], before);
        Assert.Equal([OtherA, SampleStudio.DeepB, OtherLotA, "studios/alder/lots/deep-b-lot"], after);
    }

    // 20000 and 2000 g came in; 1000 g were recorded of the first, 1200 g really came from the second.
    [Fact]
    public async Task WrongCanAndMass_BalancesAreRightToTheMilligram()
    {
        Assert.Equal((19_000_000, 2_000_000), (await _desk.BalanceAsync(SampleStudio.DeepA), await _desk.BalanceAsync(OtherA)));

        var mix = await _desk.CorrectAsync(Draw(SampleStudio.DeepA, 1_200_000, OtherA), Draw(SampleStudio.DeepB, 504_000));

        Assert.Equal((20_000_000, 800_000), (await _desk.BalanceAsync(SampleStudio.DeepA), await _desk.BalanceAsync(OtherA)));
        Assert.Equal(9_000_000 - 504_000, await _desk.BalanceAsync(SampleStudio.DeepB));
        Assert.Equal((1_200_000, 504_000), (mix.AMassMg, mix.BMassMg));
        Assert.Equal(1_200_000 + 504_000 - 300_000, mix.RemainingMassMg);
        Assert.Equal([(OtherA, 1_200_000), (SampleStudio.DeepB, 504_000)], mix.Draws.Select(draw => (draw.Container, draw.MassMg)));
    }

    // Only the hardener weighed otherwise: 500 on 1000 g of A are 50 parts, where 42 ± 2 % are asked for.
    [Fact]
    public async Task RightMass_OffRatio_IsACautionAndNoRefusal()
    {
        Assert.DoesNotContain((await _desk.Mixes.GetMixAsync(new() { Name = First })).Cautions, caution => caution.Reason == "RATIO_OUT_OF_TOLERANCE");

        var mix = await _desk.CorrectAsync(Draw(SampleStudio.DeepB, 500_000));

        Assert.Equal(50, mix.HardenerPartsPer100Resin, 1e-9);
        Assert.Single(mix.Cautions, caution => caution.Reason == "RATIO_OUT_OF_TOLERANCE");
    }

    [Fact]
    public async Task Correction_SaysWhatWasRecordedAndWhatIsRight()
    {
        var mix = await _desk.CorrectAsync(Draw(SampleStudio.DeepA, 1_050_000, OtherA));

        var correction = Assert.Single(mix.Corrections);
        Assert.Equal((First, Correction.Types.Kind.IncorrectData, "Ana", "the can beside it"), (correction.Subject, correction.Kind, correction.Person, correction.Reason));
        Assert.Equal(StudioHarness.Start, correction.CorrectTime.ToDateTimeOffset());
        var change = Assert.Single(correction.Changes);
        Assert.Equal(("draw from deep-a1", "1000 g of deep-a1", "1050 g of deep-a2"), (change.What, change.Recorded, change.Right));
    }

    [Fact]
    public async Task Correction_OfACorrection_TheLatestStands()
    {
        await _desk.CorrectAsync(Draw(SampleStudio.DeepA, right: OtherA));
        var mix = await _desk.CorrectAsync(Draw(OtherA, 900_000, SampleStudio.DeepA));

        Assert.Equal((19_100_000, 2_000_000), (await _desk.BalanceAsync(SampleStudio.DeepA), await _desk.BalanceAsync(OtherA)));
        Assert.Equal(("walnut", ""), (await _desk.ReachedAsync(LotA), await _desk.ReachedAsync(OtherLotA)));
        Assert.Equal(["1000 g of deep-a2", "900 g of deep-a1"], mix.Corrections.SelectMany(correction => correction.Changes).Select(change => change.Right));
    }

    [Fact]
    public async Task Correction_LeavesEveryRowOfBeforeAsItWas()
    {
        var before = _desk.Evidence();
        await _desk.CorrectAsync(Draw(SampleStudio.DeepA, right: OtherA));

        Assert.Empty(before.Except(_desk.Evidence()));
        // Taken back from one can, which counts as sealed again, drawn from the other, which counts as opened; and the correction itself.
        Assert.Equal(before.Count + 5, _desk.Evidence().Count);
    }

    [Fact]
    public async Task Undo_TheContainersHoldItAgainAndTheMixIsNoCause()
    {
        await _desk.UndoPourAsync();
        Assert.Contains(First, (await DayAsync()).List.Mixes);

        var mix = await _desk.UndoAsync();

        Assert.Equal((true, 0, 0), (mix.DidNotOccur, mix.RemainingMassMg, mix.Draws.Count));
        Assert.Equal((20_000_000, 9_000_000), (await _desk.BalanceAsync(SampleStudio.DeepA), await _desk.BalanceAsync(SampleStudio.DeepB)));
        Assert.Empty((await _desk.Traces.TraceLotAsync(new() { Name = LotA })).Mixes);
        Assert.Equal("RECALL_EMPTY", await _desk.RefusedAsync(DayAsync));
        Assert.True((await _desk.Mixes.ListMixesAsync(new() { Parent = SampleStudio.Name })).Mixes.Single().DidNotOccur);
        Assert.Equal("MIX_SHORT", await _desk.RefusedAsync(() => _desk.PourAsync(Cherry, First)));

        Task<Recall> DayAsync() => _desk.Recalls.StartRecallAsync(new()
        {
            Parent = SampleStudio.Name, Scope = new() { Name = SampleStudio.North, Date = new() { Year = 2026, Month = 2, Day = 6 } }, Reason = "asked",
            Starter = "Ana", ValidateOnly = true,
        }).ResponseAsync;
    }

    [Fact]
    public async Task Undo_WhilePoursStand_IsRefusedWithTheWayOut()
    {
        Assert.Equal("MIX_POURED", await _desk.RefusedAsync(() => _desk.UndoAsync()));

        await _desk.UndoPourAsync();

        Assert.True((await _desk.UndoAsync()).DidNotOccur);
    }

    // The mix was recorded twice; the pour came off the record that stays.
    [Fact]
    public async Task RecordedTwice_ThePourGoesToTheOtherRecordAndTheDoubleIsUndone()
    {
        await _desk.MixAsync("second");
        await _desk.CorrectPourAsync(mix: Second);
        await _desk.UndoAsync();

        Assert.Equal(19_000_000, await _desk.BalanceAsync(SampleStudio.DeepA));
        Assert.Equal(("walnut", ""), (await _desk.ReachedAsync(Second), await _desk.ReachedAsync(First)));
        Assert.Equal(1_420_000 - 300_000, (await _desk.Mixes.GetMixAsync(new() { Name = Second })).RemainingMassMg);
    }

    [Fact]
    public async Task Undo_ByMistake_IsCorrectedByWhatReallyWentIn()
    {
        await _desk.UndoPourAsync();
        await _desk.UndoAsync();
        Assert.Equal("NOTHING_TO_CORRECT", await _desk.RefusedAsync(() => _desk.UndoAsync()));

        var mix = await _desk.CorrectAsync(Draw(SampleStudio.DeepA, 1_000_000));

        Assert.Equal((false, 1_420_000), (mix.DidNotOccur, mix.RemainingMassMg));
        Assert.Equal((19_000_000, 8_580_000), (await _desk.BalanceAsync(SampleStudio.DeepA), await _desk.BalanceAsync(SampleStudio.DeepB)));
        Assert.Equal([SampleStudio.DeepA, SampleStudio.DeepB], mix.Draws.Select(draw => draw.Container));
    }

    // By the book 19000 g; the scale found 20000, since the draw was from another can: 1000 g too much. Put right, nothing is.
    [Fact]
    public async Task WeighedSince_TheScalesWordHolds()
    {
        await _desk.Lots.WeighBackContainerAsync(new() { Name = SampleStudio.DeepA, RemainingMassMg = 20_000_000 });
        Assert.Equal(-1_000_000, (await AccountAsync(LotA)).UnexplainedMassMg);

        await _desk.CorrectAsync(Draw(SampleStudio.DeepA, right: OtherA));

        Assert.Equal((20_000_000, 1_000_000), (await _desk.BalanceAsync(SampleStudio.DeepA), await _desk.BalanceAsync(OtherA)));
        Assert.Equal((20_000_000, 0), ((await AccountAsync(LotA)).RemainingMassMg, (await AccountAsync(LotA)).UnexplainedMassMg));
    }

    // Thrown away with 19000 g by the book: it was 20000 g then.
    [Fact]
    public async Task ThrownAwaySince_TheRestWasMoreAndItStaysSpent()
    {
        await _desk.Lots.DiscardContainerAsync(new() { Name = SampleStudio.DeepA, Reason = "cloudy" });

        await _desk.CorrectAsync(Draw(SampleStudio.DeepA, right: OtherA));

        Assert.Equal(State.Spent, (await _desk.Lots.GetContainerAsync(new() { Name = SampleStudio.DeepA })).State);
        Assert.Equal((20_000_000, 0), ((await AccountAsync(LotA)).DiscardedMassMg, (await AccountAsync(LotA)).RemainingMassMg));
    }

    // 2000 g: 1200 drawn, 800 thrown away. Was it all drawn after all, then not: the 800 g are still in the bin.
    [Fact]
    public async Task ThrownAwaySince_NothingForAWhile_StaysThrownAway()
    {
        await _desk.MixAsync("second", OtherA, 1_200_000, 504_000);
        await _desk.Lots.DiscardContainerAsync(new() { Name = OtherA, Reason = "cloudy" });

        await _desk.Mixes.CorrectMixAsync(Right(Draw(OtherA, 2_000_000)).But(Second));
        Assert.Equal((0, State.Spent), ((await AccountAsync(OtherLotA)).DiscardedMassMg, await StateAsync(OtherA)));
        await _desk.Mixes.CorrectMixAsync(Right(Draw(OtherA, 1_200_000)).But(Second));

        Assert.Equal((800_000, State.Spent), ((await AccountAsync(OtherLotA)).DiscardedMassMg, await StateAsync(OtherA)));
        Assert.Equal(0, await _desk.BalanceAsync(OtherA));
    }

    // The deep system keeps for 180 days once open; these cans have no date of their own.
    [Fact]
    public async Task WrongCan_ThatTheDrawAloneHadOpened_IsSealedAgain()
    {
        var expires = StudioHarness.Start.AddDays(180);
        Assert.Equal((State.Open, StudioHarness.Start, expires), await AgeAsync(SampleStudio.DeepA));

        await _desk.CorrectAsync(Draw(SampleStudio.DeepA, right: OtherA));
        Assert.Equal((State.Sealed, null, null), await AgeAsync(SampleStudio.DeepA));
        Assert.Equal((State.Open, StudioHarness.Start, expires), await AgeAsync(OtherA));

        await _desk.CorrectAsync(Draw(OtherA, right: SampleStudio.DeepA));
        Assert.Equal((State.Open, StudioHarness.Start, expires), await AgeAsync(SampleStudio.DeepA));
        Assert.Equal((State.Sealed, null, null), await AgeAsync(OtherA));
    }

    [Fact]
    public async Task WrongCan_ThatWasUsedOtherwise_StaysOpenUntilThatIsUndone()
    {
        await _desk.MixAsync("second");
        await _desk.UndoPourAsync();

        await _desk.UndoAsync();
        Assert.Equal(State.Open, await StateAsync(SampleStudio.DeepA));

        await _desk.UndoAsync(Second);
        Assert.Equal(State.Sealed, await StateAsync(SampleStudio.DeepA));
    }

    [Fact]
    public async Task WrongCan_ThatPeopleOpened_StaysOpen()
    {
        await _desk.Lots.OpenContainerAsync(new() { Name = OtherA });
        await _desk.MixAsync("second", OtherA);

        await _desk.UndoAsync(Second);

        Assert.Equal((State.Open, StudioHarness.Start, StudioHarness.Start.AddDays(180)), await AgeAsync(OtherA));
    }

    [Fact]
    public async Task RightCan_OpenedSince_WasOpenByTheDraw()
    {
        _desk.Harness.Clock.Advance(TimeSpan.FromDays(9));
        await _desk.Lots.OpenContainerAsync(new() { Name = OtherA });
        Assert.Equal(StudioHarness.Start.AddDays(9 + 180), (await AgeAsync(OtherA)).Expires);

        await _desk.CorrectAsync(Draw(SampleStudio.DeepA, right: OtherA));

        Assert.Equal((State.Open, StudioHarness.Start, StudioHarness.Start.AddDays(180)), await AgeAsync(OtherA));
    }

    // What was poured into the right can after the mix is not in the mix.
    [Fact]
    public async Task RightCan_IsTakenAsItWasWhenTheMixWasRecorded()
    {
        await SampleStudio.ReceiveAsync(_desk.Harness.Channel, SampleStudio.Deep, "late-lot", Part.A, "late-a", 500_000);
        await _desk.Lots.TopUpContainerAsync(new() { Name = OtherA, Source = "studios/alder/containers/late-a", MassMg = 500_000 });

        await _desk.CorrectAsync(Draw(SampleStudio.DeepA, right: OtherA));
        await _desk.MixAsync("second", OtherA);
        await _desk.PourAsync(Cherry, Second);

        Assert.Equal(("cherry walnut", "cherry"), (await _desk.ReachedAsync(OtherLotA), await _desk.ReachedAsync("studios/alder/lots/late-lot")));
        // 2000 g of which 1000 left before the 500 came: of the second draw of 1000 g a third is of the late lot, a third of 500 stays.
        Assert.Equal(166_667, (await AccountAsync("studios/alder/lots/late-lot")).RemainingMassMg);
    }

    [Fact]
    public async Task RightCan_HeldTooLittleByWhatWasTakenSince_IsRefused()
    {
        // 2000 g, 1200 g of which went into the second mix: 1000 g before it leave 1000 g for it.
        await _desk.MixAsync("second", OtherA, 1_200_000, 504_000);

        Assert.Equal("CONTAINER_SHORT", await _desk.RefusedAsync(() => _desk.CorrectAsync(Draw(SampleStudio.DeepA, right: OtherA))));

        // Once the second mix took 1000 g alone, it fits exactly, and the can is spent.
        await _desk.Mixes.CorrectMixAsync(Right(Draw(OtherA, 1_000_000)).But(Second));
        await _desk.CorrectAsync(Draw(SampleStudio.DeepA, right: OtherA));
        Assert.Equal((0, State.Spent), ((await _desk.Lots.GetContainerAsync(new() { Name = OtherA })).RemainingMassMg, (await _desk.Lots.GetContainerAsync(new() { Name = OtherA })).State));
    }

    [Fact]
    public async Task RightCan_ThatCameHereSince_StoodElsewhereThen()
    {
        var far = await ReceivedAsync("far", Part.A, SampleStudio.Deep, SampleStudio.South);
        var second = (await _desk.MixAsync("second")).Name;
        await _desk.Lots.MoveContainerAsync(new() { Name = far, Site = SampleStudio.North });
        var third = (await _desk.MixAsync("third")).Name;

        Task<string> ReasonAsync(string mix) => _desk.RefusedAsync(async () => await _desk.Mixes.CorrectMixAsync(Right(Draw(SampleStudio.DeepA, right: far)).But(mix)));
        Assert.Equal("SITE_MISMATCH", await ReasonAsync(second));

        await _desk.Mixes.CorrectMixAsync(Right(Draw(SampleStudio.DeepA, right: far)).But(third));
        Assert.Equal(4_000_000, await _desk.BalanceAsync(far));
    }

    [Theory]
    [InlineData("unknown mix", "MIX_NOT_FOUND")]
    [InlineData("unknown container", "CONTAINER_NOT_FOUND")]
    [InlineData("not drawn from", "FIELD_INVALID")]
    [InlineData("no reason", "FIELD_INVALID")]
    [InlineData("no draw", "FIELD_INVALID")]
    [InlineData("same as recorded", "NOTHING_TO_CORRECT")]
    [InlineData("more than it held", "CONTAINER_SHORT")]
    [InlineData("came in later", "CONTAINER_SPENT")]
    [InlineData("thrown away before", "CONTAINER_SPENT")]
    [InlineData("other part", "PART_MISMATCH")]
    [InlineData("other system", "RESIN_SYSTEM_MISMATCH")]
    [InlineData("other site", "SITE_MISMATCH")]
    [InlineData("less than was poured", "MIX_SHORT")]
    public async Task Correction_ThatCannotBe_IsRefusedAndWritesNothing(string what, string reason)
    {
        var request = what switch
        {
            "unknown mix" => Right(Draw(SampleStudio.DeepA, 1)).But("studios/alder/mixes/none"),
            "unknown container" => Right(Draw(SampleStudio.DeepA, right: "studios/alder/containers/none")),
            "not drawn from" => Right(Draw(OtherA, 1)),
            "no reason" => Without(request => request.Reason = ""),
            "no draw" => Right(),
            "same as recorded" => Right(Draw(SampleStudio.DeepA, 1_000_000)),
            "more than it held" => Right(Draw(SampleStudio.DeepA, 2_000_001, OtherA)),
            "came in later" => Right(Draw(SampleStudio.DeepA, right: await ReceivedAsync("late", Part.A, SampleStudio.Deep))),
            "thrown away before" => Right(Draw(SampleStudio.DeepA, right: OtherA)).But(await MixedAfterDiscardAsync()),
            "other part" => Right(Draw(SampleStudio.DeepA, right: await ReceivedAsync("other-b", Part.B, SampleStudio.Deep))),
            "other system" => Right(Draw(SampleStudio.DeepA, right: await ReceivedAsync("coat", Part.A, SampleStudio.Coat))),
            "other site" => Right(Draw(SampleStudio.DeepA, right: await ReceivedAsync("south", Part.A, SampleStudio.Deep, SampleStudio.South))),
            _ => Right(Draw(SampleStudio.DeepA, 100_000), Draw(SampleStudio.DeepB, 42_000)),
        };

        Assert.Equal(reason, await _desk.RefusedAsync(async () => await _desk.Mixes.CorrectMixAsync(request)));

        static CorrectMixRequest Without(Action<CorrectMixRequest> change)
        {
            var request = Right(Draw(SampleStudio.DeepA, 1));
            change(request);
            return request;
        }
    }

    [Fact]
    public async Task Repeat_WithTheSameRequestId_ChangesNothing()
    {
        var request = Right(Draw(SampleStudio.DeepA, right: OtherA));
        request.RequestId = "5c0f1f0e-6a3e-4d1b-9d0e-0c6f2b7a9e11";
        var first = await _desk.Mixes.CorrectMixAsync(request);
        var evidence = _desk.Evidence();

        Assert.Equal(first, await _desk.Mixes.CorrectMixAsync(request));
        Assert.Equal(evidence, _desk.Evidence());
    }

    [Fact]
    public async Task ValidateOnly_AnswersAndKeepsNothing()
    {
        var before = _desk.Evidence();
        var request = Right(Draw(SampleStudio.DeepA, right: OtherA));
        request.ValidateOnly = true;

        Assert.Equal(OtherA, (await _desk.Mixes.CorrectMixAsync(request)).Draws[0].Container);
        Assert.Equal(before, _desk.Evidence());
    }

    // 1200 of A and 504 of B went in, 300 were poured; the rest is thrown away. Of 20000 g of A 18800 are left and weighed.
    [Fact]
    public async Task Reconciliation_ClosesAfterACorrection()
    {
        await _desk.CorrectAsync(Draw(SampleStudio.DeepA, 1_200_000), Draw(SampleStudio.DeepB, 504_000));
        await _desk.Mixes.DiscardMixAsync(new() { Name = First, MassMg = 1_404_000 });
        await _desk.Lots.WeighBackContainerAsync(new() { Name = SampleStudio.DeepA, RemainingMassMg = 18_800_000 });

        foreach (var name in (string[])[First, LotA, SampleStudio.DeepA])
        {
            var balance = await _desk.Recalls.GetReconciliationAsync(new() { Name = name });
            Assert.Equal((0, Closure.Closes), (balance.UnexplainedMassMg, balance.Closure));
        }
        Assert.Equal(1_704_000, (await _desk.Recalls.GetReconciliationAsync(new() { Name = First })).ReceivedMassMg);
    }

    [Fact]
    public async Task Reconciliation_OfAMixThatDidNotOccur_IsOfNothing()
    {
        await _desk.Mixes.DiscardMixAsync(new() { Name = First, MassMg = 100_000 });
        await _desk.UndoPourAsync();
        await _desk.UndoAsync();

        var balance = await _desk.Recalls.GetReconciliationAsync(new() { Name = First });

        Assert.Equal((0, 0, 0, Closure.Closes), (balance.ReceivedMassMg, balance.WasteMassMg, balance.UnexplainedMassMg, balance.Closure));
    }

    private async Task<(State State, DateTimeOffset? Opened, DateTimeOffset? Expires)> AgeAsync(string name)
    {
        var can = await _desk.Lots.GetContainerAsync(new() { Name = name });
        return (can.State, can.OpenTime?.ToDateTimeOffset(), can.ExpireTime?.ToDateTimeOffset());
    }

    private async Task<State> StateAsync(string container) => (await _desk.Lots.GetContainerAsync(new() { Name = container })).State;

    private async Task<MassAccount> AccountAsync(string lot) => (await _desk.Traces.TraceLotAsync(new() { Name = lot })).Account;

    private async Task<string> ReceivedAsync(string id, Part part, string system, string site = SampleStudio.North)
    {
        await _desk.Lots.ReceiveLotAsync(new()
        {
            Parent = SampleStudio.Name, Lot = new() { Part = part, ResinSystem = system, SupplierLotCode = id },
            Containers = { new ContainerReceipt { ContainerId = id, Site = site, ReceivedMassMg = 5_000_000 } },
        });
        return $"studios/alder/containers/{id}";
    }

    private async Task<string> MixedAfterDiscardAsync()
    {
        await _desk.Lots.DiscardContainerAsync(new() { Name = OtherA, Reason = "cloudy" });
        return (await _desk.MixAsync("second")).Name;
    }
}

internal static class OfAnotherMix
{
    /// <summary>The same correction of another mix.</summary>
    public static CorrectMixRequest But(this CorrectMixRequest request, string mix)
    {
        request.Name = mix;
        return request;
    }
}
