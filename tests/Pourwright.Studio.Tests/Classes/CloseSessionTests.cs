using Grpc.Core;
using Pourwright.Studio.Refusals;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Classes;

/// <summary>A session does not close before somebody looked after the rags.</summary>
public sealed class CloseSessionTests : IAsyncLifetime
{
    private const string Pour = $"{ClassStudio.Trays}/sessions/pour";

    private readonly ClassStudio _studio = new();

    public async Task InitializeAsync()
    {
        await _studio.InitializeAsync();
        await _studio.AskAsync();
        await _studio.Classes.ScheduleSessionsAsync(ClassStudio.Schedule());
    }

    public Task DisposeAsync() => _studio.DisposeAsync();

    private Task<Session> CloseAsync(bool ragsSafe, string closer = "Ana") =>
        _studio.Classes.CloseSessionAsync(new() { Name = Pour, Closer = closer, RagsSafe = ragsSafe }).ResponseAsync;

    private async Task<string?> RefusalAsync(bool ragsSafe) => (await Assert.ThrowsAsync<RpcException>(() => CloseAsync(ragsSafe))).Reason();

    /// <summary>From Friday 6 February 09:00 to Saturday 21 February 10:00, when the pour begins: 15 days and an hour.</summary>
    private void GoToThePour() => _studio.Harness.Clock.Advance(TimeSpan.FromDays(15) + TimeSpan.FromHours(1));

    [Fact]
    public async Task Close_WithoutTheRagTick_IsRefused_AndWithItDone()
    {
        GoToThePour();

        Assert.Equal(Reasons.RagsNotSafe, await RefusalAsync(ragsSafe: false));
        Assert.Null((await _studio.Classes.GetSessionAsync(new() { Name = Pour })).CloseTime);

        var closed = await CloseAsync(ragsSafe: true);
        Assert.Equal(("Ana", _studio.Harness.Clock.GetUtcNow()), (closed.Closer, closed.CloseTime.ToDateTimeOffset()));
        Assert.Equal(closed, await _studio.Classes.GetSessionAsync(new() { Name = Pour }));
    }

    [Fact]
    public async Task Close_Twice_TheFirstStays()
    {
        GoToThePour();
        var first = await CloseAsync(ragsSafe: true);

        Assert.Equal(first, await CloseAsync(ragsSafe: false, closer: "Rui"));
    }

    [Fact]
    public async Task Close_BeforeItBegins_IsRefused() => Assert.Equal(Reasons.TimeOutOfOrder, await RefusalAsync(ragsSafe: true));

    [Fact]
    public async Task Close_OfACancelledSession_IsRefused()
    {
        await _studio.Classes.CancelCastingClassAsync(new() { Name = ClassStudio.Trays, Reason = "Too few came." });
        GoToThePour();

        Assert.Equal(Reasons.ClassState, await RefusalAsync(ragsSafe: true));
    }
}
