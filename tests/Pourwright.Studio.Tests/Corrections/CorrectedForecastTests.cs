using Pourwright.Studio.Tests.Forecasts;
using Pourwright.Testing;
using Pourwright.V1;
using State = Pourwright.V1.PieceReadiness.Types.Rung.Types.State;

namespace Pourwright.Studio.Tests.Corrections;

public sealed class CorrectedForecastTests : IAsyncLifetime
{
    private CastingDesk _desk = null!;

    public async Task InitializeAsync() => _desk = await CastingDesk.StartAsync();

    public async Task DisposeAsync() => await _desk.DisposeAsync();

    // Thin layers stay cold and cure slowly: 10 mm are safe to demold later than 40 mm.
    [Fact]
    public async Task Depth_Corrected_IsForecastAnewAndSaysWhy()
    {
        await _desk.PourAndSettleAsync(depthMm: 40);
        var before = await _desk.LatestAsync();
        await CorrectAsync(await PourAsync(), depthMm: 10);

        Assert.NotEqual(before.Name, await StandingAsync());
        await _desk.Harness.SettleAsync();

        var after = await _desk.LatestAsync();
        Assert.Equal((Forecast.Types.Cause.Pour, Forecast.Types.Cause.Correction), (before.Cause, after.Cause));
        Assert.StartsWith("What was recorded of its pours was corrected.", after.Reason, StringComparison.Ordinal);
        Assert.True(CastingDesk.Safe(after, Gate.Demold) > CastingDesk.Safe(before, Gate.Demold));
        Assert.Equal(after.Name, await StandingAsync());
    }

    // Firm when 40 mm would have been safe: what the hand felt stays, but not that a forecast of 10 mm had said so.
    [Fact]
    public async Task Depth_Corrected_WhatTheEarlierForecastConfirmedIsReadyNoMore()
    {
        await _desk.PourAndSettleAsync(depthMm: 40);
        _desk.Harness.Clock.SetUtcNow(CastingDesk.Safe(await _desk.LatestAsync(), Gate.Demold));
        await _desk.TouchAsync(Check.Types.Touch.Firm);
        await _desk.Harness.SettleAsync();
        Assert.Equal(State.Ready, await DemoldAsync());

        await CorrectAsync(await PourAsync(), depthMm: 10);
        Assert.Equal(State.Curing, await DemoldAsync());
        await _desk.Harness.SettleAsync();

        Assert.True(CastingDesk.Safe(await _desk.LatestAsync(), Gate.Demold) > _desk.Harness.Clock.GetUtcNow());
        Assert.Equal(State.Curing, await DemoldAsync());
        Assert.Contains((await _desk.StepAsync(Step.Types.Kind.Demold)).Cautions, caution => caution.Reason == "GATE_NOT_REACHED");
    }

    [Fact]
    public async Task Piece_Corrected_TheRightOneIsForecastAndNothingIsAnnouncedOfTheOther()
    {
        await _desk.CreatePieceAsync("eight");
        await _desk.PourAndSettleAsync();
        Assert.NotEmpty(Pending());

        await CorrectAsync(await PourAsync(), piece: "studios/alder/pieces/eight");
        await _desk.Harness.SettleAsync();

        Assert.Empty(Pending());
        Assert.Equal(Forecast.Types.Cause.Correction, (await _desk.LatestAsync("studios/alder/pieces/eight")).Cause);
        Assert.Equal("", await StandingAsync());
    }

    [Fact]
    public async Task Mix_Corrected_WhatWasPouredFromItIsForecastAnew()
    {
        await SampleStudio.ReceiveAsync(_desk.Harness.Channel, SampleStudio.Deep, "deep-a2-lot", Part.A, "deep-a2", 2_000_000);
        await _desk.PourAndSettleAsync();
        await new V1.MixService.MixServiceClient(_desk.Harness.Channel).CorrectMixAsync(new()
        {
            Name = (await PourAsync()).Mix, Kind = Correction.Types.Kind.IncorrectData, Person = "Ana", Reason = "the can beside it",
            Draws = { new CorrectMixRequest.Types.RightDraw { Container = SampleStudio.DeepA, RightContainer = "studios/alder/containers/deep-a2" } },
        });
        await _desk.Harness.SettleAsync();

        Assert.Equal([Forecast.Types.Cause.Pour, Forecast.Types.Cause.Correction], (await _desk.RevisionsAsync()).Select(forecast => forecast.Cause));
    }

    private async Task<Pour> PourAsync() => (await _desk.Pieces.ListPoursAsync(new() { Parent = CastingDesk.Piece })).Pours.Single();

    /// <summary>The clock stands still in tests: a correction comes a minute later, as in life.</summary>
    private async Task CorrectAsync(Pour pour, string piece = "", double depthMm = 0)
    {
        _desk.Harness.Clock.Advance(TimeSpan.FromMinutes(1));
        await _desk.Pieces.CorrectPourAsync(new()
        {
            Name = pour.Name, Kind = Correction.Types.Kind.IncorrectData, RightPiece = piece, DepthMm = depthMm, Person = "Ana", Reason = "measured anew",
        });
    }

    private async Task<State> DemoldAsync() => (await _desk.Forecasts.GetReadinessAsync(new() { Name = CastingDesk.Piece }))
        .Rungs.Single(rung => rung.Gate == Gate.Demold).State;

    /// <summary>The forecast that a person may act on; empty while there is none.</summary>
    private async Task<string> StandingAsync() => (await _desk.Forecasts.GetReadinessAsync(new() { Name = CastingDesk.Piece })).Forecast;

    private IReadOnlyList<string> Pending() => _desk.Harness.Reads.Read(session => session.Query<string>(
        "SELECT text FROM reminders WHERE subject = @piece AND state IN (1, 2)", new { piece = CastingDesk.Piece }));
}
