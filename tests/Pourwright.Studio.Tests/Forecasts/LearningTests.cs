using Grpc.Core;
using Microsoft.Extensions.DependencyInjection;
using Pourwright.Cure.Learning;
using Pourwright.Studio.Forecasts.Learning;
using Pourwright.Studio.Pieces;
using Pourwright.Studio.Reminders;
using Pourwright.Testing;
using Pourwright.V1;
using Cause = Pourwright.V1.Forecast.Types.Cause;
using LotPace = Pourwright.Cure.Learning.LotPace;
using Touch = Pourwright.V1.Check.Types.Touch;

namespace Pourwright.Studio.Tests.Forecasts;

public sealed class LearningTests : IAsyncLifetime
{
    private CastingDesk _desk = null!;

    public async Task InitializeAsync() => _desk = await CastingDesk.StartAsync();

    public async Task DisposeAsync() => await _desk.DisposeAsync();

    private V1.LearningService.LearningServiceClient Learning => new(_desk.Harness.Channel);

    [Fact]
    public async Task SoftTouch_AtTheLikelyTimeToDemold_MovesItLaterAndSaysWhy()
    {
        await _desk.PourAndSettleAsync();
        var before = await _desk.LatestAsync();
        await AdvanceToAsync(Demold(before).LikelyTime.ToDateTimeOffset());

        await _desk.TouchAsync(Touch.Soft);
        await _desk.Harness.SettleAsync();

        var after = await _desk.LatestAsync();
        Assert.Equal((Cause.Check, 1), (after.Cause, after.ObservationCount));
        Assert.True(Demold(after).LikelyTime > Demold(before).LikelyTime);
        Assert.True(Demold(after).EarliestTime > Demold(before).EarliestTime);
        Assert.Matches(@"^What was seen of it was learned from\. Safe for saw and planer ", after.Reason);
    }

    [Fact]
    public async Task FirmTouch_AtTheEarliestTimeToDemold_MovesItSooner()
    {
        await _desk.PourAndSettleAsync();
        var before = await _desk.LatestAsync();
        await AdvanceToAsync(Demold(before).EarliestTime.ToDateTimeOffset());

        await _desk.TouchAsync(Touch.Firm);
        await _desk.Harness.SettleAsync();

        var after = await _desk.LatestAsync();
        Assert.True(Demold(after).LikelyTime < Demold(before).LikelyTime);
        Assert.True(Demold(after).SafeTime < Demold(before).SafeTime);
    }

    // What one piece taught of resin and lots moves the next piece of the same lots, which nobody touched.
    [Fact]
    public async Task Sister_OnTheSameBench_IsForecastAnewByWhatWasLearned()
    {
        await _desk.CreatePieceAsync("eight");
        await _desk.PourAndSettleAsync();
        await _desk.PourAndSettleAsync(piece: Eight);
        var before = await _desk.LatestAsync(Eight);
        await AdvanceToAsync(Demold(before).LikelyTime.ToDateTimeOffset());

        await _desk.TouchAsync(Touch.Tacky);
        await _desk.Harness.SettleAsync();
        Assert.Single(await _desk.RevisionsAsync(Eight));
        await _desk.Harness.AdvanceAsync(TimeSpan.FromMinutes(11));

        var after = await _desk.LatestAsync(Eight);
        Assert.True(Demold(after).SafeTime > Demold(before).SafeTime);
        Assert.StartsWith("One more check of this resin was learned from.", after.Reason, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Check_HandedToTheConsumerAgain_IsLearnedOnce()
    {
        await _desk.PourAndSettleAsync();
        await _desk.Harness.AdvanceAsync(TimeSpan.FromHours(20));
        var check = await _desk.TouchAsync(Touch.Soft);
        await _desk.Harness.SettleAsync();

        var lessons = _desk.Harness.Services.GetRequiredService<Lessons>();
        Assert.Null(lessons.Learn(CastingDesk.Piece, check.Name, (_, _) => [new TouchSeen(20, Cure.Learning.Touch.Soft)]));
        Assert.Equal(1, (await LearningAsync()).ObservationCount);
    }

    // Two lessons drawn from the same belief: the second was learned without the first and must not overwrite it.
    [Fact]
    public async Task Lesson_FromABeliefThatMovedOn_IsNotSaved()
    {
        await _desk.PourAndSettleAsync();
        await _desk.Harness.AdvanceAsync(TimeSpan.FromHours(20));
        var lessons = _desk.Harness.Services.GetRequiredService<Lessons>();
        Lesson Learned(string source) => lessons.Learn(CastingDesk.Piece, source, (_, _) => [new TouchSeen(19, Cure.Learning.Touch.Soft)])!;
        var (first, second) = (Learned("first"), Learned("second"));

        Assert.True(await _desk.Harness.Writer.WriteAsync(tx => lessons.TrySave(tx, first), default));
        Assert.False(await _desk.Harness.Writer.WriteAsync(tx => lessons.TrySave(tx, second), default));
        Assert.True(await _desk.Harness.Writer.WriteAsync(tx => lessons.TrySave(tx, Learned("second")), default));
        Assert.Equal(2, (await LearningAsync()).ObservationCount);
    }

    [Theory]
    [InlineData(false, 1)]
    [InlineData(true, 1)] // The touch was learned from; the demolding that rests on it says nothing more.
    public async Task Demolding_TeachesOnlyWhereNoTouchSaysMore(bool touched, int observations)
    {
        await _desk.PourAndSettleAsync();
        await AdvanceToAsync(Demold(await _desk.LatestAsync()).SafeTime.ToDateTimeOffset());
        if (touched) await _desk.TouchAsync(Touch.Firm);
        await _desk.StepAsync(Step.Types.Kind.Demold);
        await _desk.Harness.SettleAsync();

        Assert.Equal(observations, (await LearningAsync()).ObservationCount);
    }

    // In the instant of the pour, and after the fourteen days that a forecast looks ahead: nothing is learned, and nothing waits for ever.
    [Theory]
    [InlineData(0)]
    [InlineData(400)]
    public async Task Demolding_OutsideWhatCanBeLearned_TeachesNothing(int hours)
    {
        await _desk.PourAndSettleAsync();
        _desk.Harness.Clock.SetUtcNow(StudioHarness.Start.AddHours(hours));
        await _desk.StepAsync(Step.Types.Kind.Demold);
        await _desk.Harness.SettleAsync();

        Assert.Equal(0, (await LearningAsync()).ObservationCount);
    }

    [Fact]
    public async Task GetResinLearning_BeforeAnyCheck_IsTheSheetAndAfterwardsNamesTheLots()
    {
        var none = await LearningAsync();
        Assert.Equal((0, 0), (none.ObservationCount, none.Lots.Count));
        // The prior is centred on the sheet.
        Assert.Equal(1, none.Rate.LikelyRatio, 0.01);

        await _desk.PourAndSettleAsync();
        await _desk.Harness.AdvanceAsync(TimeSpan.FromHours(60));
        await _desk.TouchAsync(Touch.Tacky);
        await _desk.Harness.SettleAsync();

        var lots = Assert.Single((await LearningAsync()).Lots);
        Assert.Equal(["studios/alder/lots/deep-a-lot", "studios/alder/lots/deep-b-lot"], lots.Lots);
        Assert.Equal((1, 1), (lots.PieceCount, lots.ObservationCount));
        Assert.True(lots.Rate.LikelyRatio < 1);
    }

    [Theory]
    [InlineData("studios/alder/resinSystems/none/learning", StatusCode.NotFound, "RESIN_SYSTEM_NOT_FOUND")]
    [InlineData("studios/alder/resinSystems/deep", StatusCode.InvalidArgument, "FIELD_INVALID")]
    public async Task GetResinLearning_OfWhatIsNot_IsRefused(string name, StatusCode status, string reason)
    {
        var refusal = await Assert.ThrowsAsync<RpcException>(async () => await Learning.GetResinLearningAsync(new() { Name = name }));

        Assert.Equal((status, reason), (refusal.StatusCode, refusal.Reason()));
    }

    [Theory]
    [InlineData(0.99, 0, "more slowly")]
    [InlineData(0, 0.99, "faster")]
    public void LotPace_ThatIsNoted_IsSaidOnceToTheOwner(double slow, double quick, string words)
    {
        var pace = new LotPace(1, 0.05, slow, quick);
        var draft = LotNews.Decide(Seven, Lots, pace, [], nowMs: 5)!;
        Assert.Equal((Contact.Types.Role.Owner, Reminder.Types.Kind.LotPace, 5), (draft.RecipientRole, draft.Kind, draft.RemindMs));
        Assert.Contains(words, draft.Text, StringComparison.Ordinal);
        Assert.Contains("a1 with b1", draft.Text, StringComparison.Ordinal);
        Assert.Null(LotNews.Decide(Seven, Lots, pace, [Told(draft)], nowMs: 6));
    }

    [Fact]
    public void LotPace_ThatIsUsual_IsNotSaid() => Assert.Null(LotNews.Decide(Seven, Lots, new LotPace(0.97, 0.05, 0.6, 0.1), [], nowMs: 5));

    private const string Eight = $"{SampleStudio.Name}/pieces/eight";
    private const string Lots = "studios/alder/lots/a1+studios/alder/lots/b1";

    private static PieceRecord Seven => new()
    {
        Name = CastingDesk.Piece, Studio = SampleStudio.Name, Site = SampleStudio.North, Label = "seven", State = Piece.Types.State.Curing,
    };

    private static ReminderRecord Told(ReminderDraft draft) => new()
    {
        Name = $"{SampleStudio.Name}/reminders/one",
        Studio = draft.Studio,
        Kind = draft.Kind,
        State = Reminder.Types.State.Sent,
        Subject = draft.Subject,
        Text = draft.Text,
        RecipientRole = draft.RecipientRole,
        RemindMs = draft.RemindMs,
    };

    private async Task<ResinLearning> LearningAsync() => await Learning.GetResinLearningAsync(new() { Name = $"{SampleStudio.Deep}/learning" });

    private Task AdvanceToAsync(DateTimeOffset instant) => _desk.Harness.AdvanceAsync(instant - _desk.Harness.Clock.GetUtcNow());

    private static GateForecast Demold(Forecast forecast) => forecast.Gates.Single(gate => gate.Gate == Gate.Demold);
}
