using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Pourwright.Cure.Advice;
using Pourwright.Cure.Ladder;
using Pourwright.Cure.Readiness;
using Pourwright.Studio.Tests.Forecasts;
using Pourwright.Testing;
using Pourwright.V1;
using static Pourwright.V1.AskWhatIfRequest.Types;
using HoldRoom = Pourwright.Cure.Advice.HoldRoom;
using Objection = Pourwright.V1.WhatIfAnswer.Types.Objection;
using Verdict = Pourwright.V1.WhatIfAnswer.Types.Verdict;

namespace Pourwright.Studio.Tests.Advising;

public sealed class AskWhatIfTests : IAsyncLifetime
{
    private CastingDesk _desk = null!;

    public async Task InitializeAsync() => _desk = await CastingDesk.StartAsync();

    public async Task DisposeAsync() => await _desk.DisposeAsync();

    // Before is the forecast that people know; after is the same engine with the room held.
    [Fact]
    public async Task Hold_OfAPiece_BeginsFromItsForecastAndMovesIt()
    {
        await _desk.PourAndSettleAsync(depthMm: 36, resinCelsius: 20);
        await _desk.Harness.AdvanceAsync(TimeSpan.FromHours(30));
        var (before, forecast) = (_desk.Rows(), await _desk.LatestAsync());
        var request = AdviceDesk.OfPiece(sessionAtHours: 96);
        request.HoldRoom = AdviceDesk.Hold(26);
        request.HoldRoom.UntilTime = AdviceDesk.At(84);

        var answer = await _desk.Advice().AskWhatIfAsync(request);

        Assert.Equal(Verdict.Possible, answer.Verdict);
        Assert.Equal(Gate.Handle, answer.After.Gate.Gate);
        Assert.Equal(CastingDesk.Safe(forecast, Gate.Handle), answer.Before.Gate.SafeTime.ToDateTimeOffset(), TimeSpan.FromMinutes(1));
        Assert.Equal(forecast.RoomAssumption, answer.RoomAssumption);
        Assert.True(answer.After.Gate.SafeTime < answer.Before.Gate.SafeTime);
        Assert.True(answer.After.ReadyShareRatio > answer.Before.ReadyShareRatio);
        Assert.Equal((26.0, At(30), At(84)),
            (answer.HoldTemperatureCelsius, answer.HoldFromTime.ToDateTimeOffset(), answer.HoldUntilTime.ToDateTimeOffset()));
        Assert.StartsWith("Held at 26 °C from Sat 7 Feb 15:00 until Mon 9 Feb 21:00 the piece is safe to saw and plane by ", answer.Sentence);
        Assert.Contains("no flame, no heat gun", answer.Cautions.Single(caution => caution.Reason == "WARM_EVENLY").Text);
        Assert.Contains(answer.Cautions, caution => caution.Reason == "TOUCH_DECIDES");
        Assert.Equal(before, _desk.Rows());
    }

    // A pour that is only thought of is the engine's own question.
    [Fact]
    public async Task Hold_OfAPourThatIsOnlyThoughtOf_IsWhatTheEngineSays()
    {
        var request = AdviceDesk.OfPour(depthMm: 30, sessionAtHours: 96);
        request.HoldRoom = AdviceDesk.Hold(26, fromHours: 30);

        var answer = await _desk.Advice().AskWhatIfAsync(request);

        var resin = _desk.Deep();
        var pour = new PieceCase { Layers = [new(0, 30, 20, resin.Model)], Ambient = [new(0, 20)], BoardThicknessMm = 18, WorkCelsius = 20 };
        // Lot, site and pour: 0.10 each.
        var draws = PieceDraws.Of(new() { RateLnSd = Math.Sqrt(resin.RateLnSd * resin.RateLnSd + 3 * 0.10 * 0.10) });
        var engine = new WhatIf(draws).Ask(new(pour, 96, LadderGate.Handle), new HoldRoom(26, 30));
        Assert.Equal(At(engine.Before.Rung.Times.SafeHours!.Value), answer.Before.Gate.SafeTime.ToDateTimeOffset(), TimeSpan.FromMilliseconds(1));
        Assert.Equal(At(engine.After.Rung.Times.SafeHours!.Value), answer.After.Gate.SafeTime.ToDateTimeOffset(), TimeSpan.FromMilliseconds(1));
        Assert.Equal((engine.Before.ShareReady, engine.After.ShareReady), (answer.Before.ReadyShareRatio, answer.After.ReadyShareRatio));
    }

    // A check taught the studio something of its resin: what stands as "before" is what the forecast says, and the warmth that is found
    // is safe by the same draws.
    [Fact]
    public async Task SmallestWarming_OfAResinThatChecksTaught_BeginsFromItsForecast()
    {
        await _desk.PourAndSettleAsync(depthMm: 30, resinCelsius: 20);
        await _desk.Harness.AdvanceAsync(TimeSpan.FromHours(30));
        await _desk.TouchAsync(Check.Types.Touch.Soft);
        await _desk.Harness.SettleAsync();
        var forecast = await _desk.LatestAsync();
        Assert.True(forecast.ObservationCount > 0);
        var request = AdviceDesk.OfPiece(sessionAtHours: 72);
        request.SmallestWarming = new();

        var answer = await _desk.Advice().AskWhatIfAsync(request);

        Assert.Equal(CastingDesk.Safe(forecast, Gate.Handle), answer.Before.Gate.SafeTime.ToDateTimeOffset(), TimeSpan.FromMinutes(1));
        Assert.False(answer.Before.Safe);
        Assert.Equal((Verdict.Possible, true), (answer.Verdict, answer.After.Safe));
    }

    // The planned session counts where none is said, and the sentence speaks the clock of the site once.
    [Fact]
    public async Task Move_OfAPlannedSession_SpeaksItsLocalTime()
    {
        await PlannedPieceAsync(sessionAtHours: 72);
        var answer = await _desk.Advice().AskWhatIfAsync(new()
        {
            Piece = "studios/alder/pieces/nine", MoveSession = new() { By = Duration.FromTimeSpan(TimeSpan.FromDays(4)) },
        });

        Assert.Equal(AdviceDesk.At(72), answer.Before.SessionTime);
        Assert.Equal(AdviceDesk.At(168), answer.After.SessionTime);
        Assert.False(answer.Before.Safe);
        Assert.True(answer.After.Safe && answer.After.ReadyShareRatio > answer.Before.ReadyShareRatio);
        Assert.Equal(answer.Before.Peak, answer.After.Peak);
        // Friday 09:00 + 72 h = Monday 09:00, + 168 h = Friday 09:00; Lisbon is on UTC in February.
        Assert.StartsWith("On Fri 13 Feb 09:00 instead of Mon 9 Feb 09:00 ", answer.Sentence);
        Assert.EndsWith(": that is safe (UTC+00:00).", answer.Sentence);
    }

    // A cellar of 12 °C: the piece is late; held warm it is safe by the session, and a quarter kelvin less would not do.
    [Fact]
    public async Task SmallestWarming_OfAColdRoom_MakesTheSessionSafe()
    {
        await _desk.PourAndSettleAsync(depthMm: 20, resinCelsius: 20);
        await _desk.StepAsync(Step.Types.Kind.Move, CastingDesk.ColdBench);
        await _desk.Harness.SettleAsync();
        var request = AdviceDesk.OfPiece(sessionAtHours: 120);
        request.SmallestWarming = new();

        var answer = await _desk.Advice().AskWhatIfAsync(request);

        Assert.Equal(Verdict.Possible, answer.Verdict);
        Assert.False(answer.Before.Safe);
        Assert.True(answer.After.Safe && answer.After.ReadyShareRatio >= 0.95);
        Assert.InRange(answer.HoldTemperatureCelsius, 12.25, 35);
        Assert.True(answer.HoldFromTime.ToDateTimeOffset() > StudioHarness.Start);
        Assert.Equal(At(114), answer.HoldUntilTime.ToDateTimeOffset());

        var less = request.Clone();
        less.HoldRoom = new()
        {
            TemperatureCelsius = answer.HoldTemperatureCelsius - 0.25, FromTime = answer.HoldFromTime, UntilTime = answer.HoldUntilTime,
        };
        Assert.False((await _desk.Advice().AskWhatIfAsync(less)).After.Safe);
    }

    [Fact]
    public async Task SmallestWarming_OfASessionThatIsSafe_AsksForNothing()
    {
        await _desk.PourAndSettleAsync(depthMm: 30, resinCelsius: 20);
        var request = AdviceDesk.OfPiece(sessionAtHours: 300);
        request.SmallestWarming = new();
        var answer = await _desk.Advice().AskWhatIfAsync(request);
        Assert.Equal((Verdict.Possible, false), (answer.Verdict, answer.HasHoldTemperatureCelsius));
        Assert.StartsWith("Nothing needs to change: the piece is safe to saw and plane by ", answer.Sentence);
        Assert.DoesNotContain(answer.Cautions, caution => caution.Reason == "WARM_EVENLY");
    }

    // Two hours after 36 mm are poured warmth feeds the peak: refused, with the time from which it does not; from then it is possible.
    [Fact]
    public async Task Hold_BeforeThePeak_IsRefusedWithTheTimeToWaitFor()
    {
        await _desk.PourAndSettleAsync(depthMm: 36, resinCelsius: 20);
        await _desk.Harness.AdvanceAsync(TimeSpan.FromHours(2));
        var request = AdviceDesk.OfPiece(sessionAtHours: 96);
        request.HoldRoom = AdviceDesk.Hold(28);

        var answer = await _desk.Advice().AskWhatIfAsync(request);

        Assert.Equal((Verdict.Refused, Objection.TooHot), (answer.Verdict, answer.Objection));
        Assert.True(answer.After.Peak.HighCelsius > 80 && answer.Before.Peak.HighCelsius < 80);
        Assert.InRange(answer.WarmFromTime.ToDateTimeOffset(), At(10), At(30));
        Assert.StartsWith("No: held at 28 °C from Fri 6 Feb 11:00 it may reach ", answer.Sentence);
        Assert.Contains("; its room may be warmed from Sat 7 Feb ", answer.Sentence);
        Assert.Contains("warmth before the peak feeds it", answer.ObjectionText);

        request.HoldRoom.FromTime = answer.WarmFromTime;
        Assert.Equal(Verdict.Possible, (await _desk.Advice().AskWhatIfAsync(request)).Verdict);
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public async Task SplitOrOtherResin_OfAPouredPiece_IsRefusedAndWritesNothing(bool split)
    {
        await _desk.PourAndSettleAsync();
        var before = _desk.Rows();
        var request = AdviceDesk.OfPiece(sessionAtHours: 96);
        if (split) request.SplitPour = new() { LayerCount = 2 };
        else request.OtherResin = new() { ResinSystem = SampleStudio.Coat };

        var refusal = await Assert.ThrowsAsync<RpcException>(async () => await _desk.Advice().AskWhatIfAsync(request));

        Assert.Equal((StatusCode.FailedPrecondition, "PIECE_POURED"), (refusal.StatusCode, refusal.Reason()));
        Assert.Contains("only thought of", refusal.Status.Detail);
        Assert.Equal(before, _desk.Rows());
    }

    // 50 mm at once run away; in two layers they do not and are ready later.
    [Fact]
    public async Task Split_OfAPourThatIsOnlyThoughtOf_IsCoolerAndLater()
    {
        var request = AdviceDesk.OfPour(depthMm: 50, sessionAtHours: 200);
        request.SplitPour = new() { LayerCount = 2 };
        var answer = await _desk.Advice().AskWhatIfAsync(request);
        Assert.Equal(Verdict.Possible, answer.Verdict);
        Assert.True(answer.Before.Peak.HighCelsius > 100 && answer.After.Peak.HighCelsius < 80);
        Assert.True(answer.After.Gate.LikelyTime > answer.Before.Gate.LikelyTime);
        Assert.StartsWith("Poured in 2 layers the piece is safe to saw and plane only by ", answer.Sentence);
    }

    // The quick resin runs away at 30 mm; the objection says so and knows no time to wait for.
    [Fact]
    public async Task OtherResin_TooQuickForTheDepth_IsRefused()
    {
        var request = AdviceDesk.OfPour(depthMm: 30, sessionAtHours: 72);
        request.OtherResin = new() { ResinSystem = SampleStudio.Coat };
        var answer = await _desk.Advice().AskWhatIfAsync(request);
        Assert.Equal((Verdict.Refused, Objection.TooHot, null), (answer.Verdict, answer.Objection, answer.WarmFromTime));
        Assert.StartsWith("No: poured with Seal coat it may reach ", answer.Sentence);
        Assert.Contains("thinner layers, a cooler room or a slower resin", answer.ObjectionText);
    }

    [Fact]
    public async Task SmallestWarming_ForASessionHoursAway_IsNotByThen()
    {
        var request = AdviceDesk.OfPour(depthMm: 10, sessionAtHours: 20);
        request.SmallestWarming = new();
        var answer = await _desk.Advice().AskWhatIfAsync(request);
        Assert.Equal((Verdict.Refused, Objection.NotByThen), (answer.Verdict, answer.Objection));
        Assert.StartsWith("No room up to 35 °C makes the piece safe to saw and plane by Sat 7 Feb 05:00; left alone it is by ", answer.Sentence);
        Assert.Contains("move the session", answer.ObjectionText);
    }

    // Sunday 29 March, 01:00 UTC, Lisbon goes to UTC+1: then every time carries its offset.
    [Fact]
    public async Task Sentence_AcrossAClockChange_GivesEveryTimeItsOffset()
    {
        var request = AdviceDesk.OfPour(depthMm: 30, sessionAtHours: 0);
        request.FirstPourTime = Timestamp.FromDateTimeOffset(new(2026, 3, 28, 12, 0, 0, TimeSpan.Zero));
        request.SessionTime = Timestamp.FromDateTimeOffset(new(2026, 3, 31, 8, 0, 0, TimeSpan.Zero));
        request.HoldRoom = new() { TemperatureCelsius = 25, FromTime = Timestamp.FromDateTimeOffset(new(2026, 3, 28, 18, 0, 0, TimeSpan.Zero)) };
        var sentence = (await _desk.Advice().AskWhatIfAsync(request)).Sentence;
        Assert.Contains("from Sat 28 Mar 18:00 (UTC+00:00)", sentence);
        Assert.Contains("for Tue 31 Mar 09:00 (UTC+01:00)", sentence);
    }

    [Fact]
    public async Task Ask_OfAMalformedPour_NamesTheFieldInsideIt()
    {
        var request = AdviceDesk.OfPour(depthMm: 0, sessionAtHours: 72);
        request.HoldRoom = AdviceDesk.Hold(24);
        var refusal = await Assert.ThrowsAsync<RpcException>(async () => await _desk.Advice().AskWhatIfAsync(request));
        Assert.Equal(("FIELD_INVALID", "pour.layers[0].depth_mm"), (refusal.Reason(), Assert.Single(refusal.Fields())));
    }

    [Fact]
    public async Task Ask_OfAPieceThatIsNotThere_OrNotPoured_OrGone_IsRefused()
    {
        var request = AdviceDesk.OfPiece(sessionAtHours: 96);
        request.HoldRoom = AdviceDesk.Hold(24);
        Task<string> Reason() => CastingDesk.ReasonAsync(async () => await _desk.Advice().AskWhatIfAsync(request));

        Assert.Equal("PIECE_NOT_POURED", await Reason());
        await _desk.PourAndSettleAsync();
        await _desk.StepAsync(Step.Types.Kind.Scrap);
        await _desk.Harness.SettleAsync();
        Assert.Equal("PIECE_SCRAPPED", await Reason());
        request.Piece = "studios/alder/pieces/none";
        Assert.Equal("PIECE_NOT_FOUND", await Reason());
    }

    private async Task PlannedPieceAsync(double sessionAtHours)
    {
        await _desk.Pieces.CreatePieceAsync(new()
        {
            Parent = SampleStudio.Name,
            PieceId = "nine",
            Piece = new() { Site = SampleStudio.North, Label = "9", PlannedSessionTime = AdviceDesk.At(sessionAtHours) },
        });
        await _desk.PourAndSettleAsync(depthMm: 30, piece: "studios/alder/pieces/nine", resinCelsius: 20);
    }

    private static DateTimeOffset At(double hours) => StudioHarness.Start.AddHours(hours);
}
