using Microsoft.Extensions.Time.Testing;
using Pourwright.Studio.Messaging;
using Pourwright.Testing;

namespace Pourwright.Studio.Tests.Messaging;

public sealed class RelayTurnTests : IAsyncLifetime, IDisposable
{
    private readonly TestStore _store = TestStore.Create();
    private readonly FakeTimeProvider _clock = new();
    private MessagingStudio _studio = null!;
    private RelayTurn _first = null!;
    private RelayTurn _second = null!;

    public async Task InitializeAsync()
    {
        _studio = await MessagingStudio.StartAsync(_store, clock: _clock);
        (_first, _second) = (new(_studio.Reads, _studio.Writer, _clock), new(_studio.Reads, _studio.Writer, _clock));
    }

    public async Task DisposeAsync() => await _studio.DisposeAsync();

    public void Dispose() => _store.Dispose();

    [Fact]
    public async Task TakeAsync_Anothers_IsRefusedUntilItRunsOut()
    {
        Assert.True(await _first.TakeAsync(CancellationToken.None));
        Assert.False(await _second.TakeAsync(CancellationToken.None));

        _clock.Advance(RelayTurn.Length - TimeSpan.FromMilliseconds(1));
        Assert.False(await _second.TakeAsync(CancellationToken.None));
        _clock.Advance(TimeSpan.FromMilliseconds(1));
        Assert.True(await _second.TakeAsync(CancellationToken.None));
        Assert.False(await _first.TakeAsync(CancellationToken.None));
        Assert.Equal(RelayTurn.Length, _second.Left);
    }

    [Fact]
    public async Task TakeAsync_OwnAndMoreThanHalfGone_IsTakenAnew()
    {
        await _first.TakeAsync(CancellationToken.None);
        _clock.Advance(RelayTurn.Length / 2 - TimeSpan.FromMilliseconds(1));
        await _first.TakeAsync(CancellationToken.None);
        Assert.Equal(RelayTurn.Length / 2 + TimeSpan.FromMilliseconds(1), _first.Left);

        _clock.Advance(TimeSpan.FromMilliseconds(1));
        await _first.TakeAsync(CancellationToken.None);
        Assert.Equal(RelayTurn.Length, _first.Left);
        _clock.Advance(RelayTurn.Length - TimeSpan.FromMilliseconds(1));
        Assert.False(await _second.TakeAsync(CancellationToken.None));
    }

    [Fact]
    public async Task GiveBackAsync_LetsAnotherTakeItAtOnce_AndLeavesAnothersAlone()
    {
        await _first.TakeAsync(CancellationToken.None);
        await _second.GiveBackAsync();
        Assert.False(await _second.TakeAsync(CancellationToken.None));
        await _first.GiveBackAsync();
        Assert.True(await _second.TakeAsync(CancellationToken.None));
    }
}
