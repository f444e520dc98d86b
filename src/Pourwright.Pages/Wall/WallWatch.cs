using System.Collections.Concurrent;
using System.Threading.Channels;
using Grpc.Core;
using Microsoft.Extensions.Logging;
using Pourwright.Pages.Serving;
using Pourwright.Pages.Words;
using Pourwright.V1;

namespace Pourwright.Pages.Wall;

/// <summary>A site as it was at one time, and its HTML, made once for each way to say it, however many walls show it.</summary>
public sealed class WallState(WallView view, PageRenderer renderer)
{
    private readonly ConcurrentDictionary<(string, string), Lazy<Task<string>>> _said = new();

    public WallView View => view;

    public Task<string> HtmlAsync(Manner manner) => _said.GetOrAdd((manner.Texts.Language, manner.Units.System),
        _ => new(() => renderer.RenderAsync<WallBoard>(new Dictionary<string, object?> { ["Manner"] = manner, ["View"] = view }))).Value;
}

/// <summary>Watches one site for all of its walls, as long as there is one.</summary>
/// <remarks>It looks when the API says that a piece's readiness changed, and otherwise every quarter of a minute, for the air and for pieces that left.</remarks>
internal sealed class WallWatch(string site, StudioNode node, PageRenderer renderer, TimeProvider clock, ILogger logger) : IDisposable
{
    private static readonly TimeSpan LookEvery = TimeSpan.FromSeconds(15);

    /// <summary>And not more often than this, however much happens: real time, since it spares the machine.</summary>
    private static readonly TimeSpan LookPause = TimeSpan.FromMilliseconds(100);

    private const int ChangesShown = 3;

    private readonly CancellationTokenSource _end = new();
    private readonly Channel<bool> _news = Channel.CreateBounded<bool>(new BoundedChannelOptions(1) { FullMode = BoundedChannelFullMode.DropWrite });
    private readonly Dictionary<string, string> _forecasts = [];
    private readonly List<WallChange> _changes = [];
    private TaskCompletionSource<WallState> _next = NewSource();

    /// <summary>The newest state; null until the first look.</summary>
    public WallState? State { get; private set; }

    /// <summary>The state after the next look, or the fault that ended the watch.</summary>
    public Task<WallState> NextAsync => Volatile.Read(ref _next).Task;

    /// <summary>Walls that show it; under the lock of whoever hands it out.</summary>
    public int Walls { get; set; }

    public void Begin() => _ = RunAsync(_end.Token);

    /// <summary>Ends the watch.</summary>
    public void Dispose()
    {
        _end.Cancel();
        _end.Dispose();
    }

    private async Task RunAsync(CancellationToken ct)
    {
        try
        {
            var listening = ListenAsync(ct);
            while (!ct.IsCancellationRequested)
            {
                var due = Task.Delay(LookEvery, clock, ct);
                _news.Reader.TryRead(out _);
                Publish(new WallState(await LookAsync(ct), renderer));
                if (await Task.WhenAny(_news.Reader.WaitToReadAsync(ct).AsTask(), due, listening) == listening) await listening;
                await Task.Delay(LookPause, ct);
            }
        }
        catch (Exception e) when (e is RpcException or OperationCanceledException)
        {
            if (!ct.IsCancellationRequested) logger.LogWarning(e, "The watch of {Site} ended; its walls ask again.", site);
            Volatile.Read(ref _next).TrySetException(e);
        }
    }

    private async Task ListenAsync(CancellationToken ct)
    {
        using var call = node.Forecasts.WatchReadiness(new() { Parent = Names.StudioOf(site), Site = site }, cancellationToken: ct);
        while (await call.ResponseStream.MoveNext(ct)) _news.Writer.TryWrite(true);
    }

    private async Task<WallView> LookAsync(CancellationToken ct)
    {
        var found = await node.Sites.GetSiteAsync(new() { Name = site }, cancellationToken: ct);
        List<(V1.Bench, BenchClimate)> benches = [];
        foreach (var bench in (await node.Sites.ListBenchesAsync(new() { Parent = site, PageSize = Lists.PageSize }, cancellationToken: ct)).Benches)
            benches.Add((bench, await node.Climate.GetBenchClimateAsync(new() { Name = bench.Name }, cancellationToken: ct)));
        var pieces = await PiecesInHouse.LoadAsync(node, Names.StudioOf(site), site, castingClass: "", ct);
        Notice(pieces.Select(piece => piece.Readiness));
        return DescribeWall.Describe(found, benches, pieces, [.. _changes], clock.GetUtcNow());
    }

    /// <summary>Keeps what moved since the look before; the first look knows of no move.</summary>
    private void Notice(IEnumerable<PieceReadiness> readiness)
    {
        foreach (var now in readiness.Where(now => now.Forecast.Length > 0))
        {
            if (State is not null && _forecasts.GetValueOrDefault(now.Piece) != now.Forecast && now.Reason.Length > 0)
                _changes.Insert(0, new(now.Label, now.ReasonStatements, now.Reason, clock.GetUtcNow()));
            _forecasts[now.Piece] = now.Forecast;
        }
        if (_changes.Count > ChangesShown) _changes.RemoveRange(ChangesShown, _changes.Count - ChangesShown);
    }

    private void Publish(WallState state)
    {
        State = state;
        Interlocked.Exchange(ref _next, NewSource()).SetResult(state);
    }

    private static TaskCompletionSource<WallState> NewSource() => new(TaskCreationOptions.RunContinuationsAsynchronously);
}

/// <summary>One watch a site and key, however many walls hang there: it sees what that key may see, and ends with it.</summary>
public sealed class WallWatches(PageRenderer renderer, TimeProvider clock, ILogger<WallWatches> logger)
{
    private readonly Lock _lock = new();
    private readonly Dictionary<(string Site, string Key), WallWatch> _watches = [];

    /// <summary>What a wall shows from now on: the newest state at once, then each that follows.</summary>
    public async IAsyncEnumerable<WallState> FollowAsync(string site, StudioNode node, [System.Runtime.CompilerServices.EnumeratorCancellation] CancellationToken ct)
    {
        var watch = Take(site, node);
        try
        {
            var state = watch.State ?? await watch.NextAsync.WaitAsync(ct);
            while (true)
            {
                var next = watch.NextAsync;
                yield return watch.State ?? state;
                state = await next.WaitAsync(ct);
            }
        }
        finally
        {
            GiveBack((site, node.Key), watch);
        }
    }

    private WallWatch Take(string site, StudioNode node)
    {
        lock (_lock)
        {
            if (!_watches.TryGetValue((site, node.Key), out var watch) || watch.NextAsync.IsFaulted)
            {
                watch = _watches[(site, node.Key)] = new WallWatch(site, node, renderer, clock, logger);
                watch.Begin();
            }
            watch.Walls++;
            return watch;
        }
    }

    private void GiveBack((string Site, string Key) of, WallWatch watch)
    {
        lock (_lock)
        {
            if (--watch.Walls > 0) return;
            watch.Dispose();
            if (_watches.GetValueOrDefault(of) == watch) _watches.Remove(of);
        }
    }
}
