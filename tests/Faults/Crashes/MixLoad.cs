using System.Collections.Concurrent;
using System.Threading.Channels;
using Grpc.Core;
using Grpc.Net.Client;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Faults.Crashes;

/// <summary>Clients that log mixes while their node is struck; every twentieth mix is poured so deep that it will run away and somebody must be told at once.</summary>
/// <remarks>A call without an answer is sent again with its request id until it has one. Mixes are named `receipt-00000007`, so that native code can tell them.</remarks>
internal sealed class MixLoad : IAsyncDisposable
{
    private const int ClientCount = 8;

    /// <summary>Parts that are exactly 2 : 1 by volume at 1150 and 960 kg/m3: 1150 / 1150 = 1 and 480 / 960 = 0.5.</summary>
    private const long AMassMg = 1150, BMassMg = 480;

    private const long ReceivedMassMg = 100_000_000;

    private const string CanA = "studios/alder/containers/coat-a-can", CanB = "studios/alder/containers/coat-b-can";

    private readonly GrpcChannel _channel;
    private readonly CancellationTokenSource _stop = new();
    private readonly ConcurrentDictionary<string, Mix> _mixes = [];
    private readonly ConcurrentDictionary<string, string> _pours = [];
    private readonly ConcurrentQueue<string> _remindersSeen = [];
    private readonly Channel<string> _acknowledged = Channel.CreateUnbounded<string>();
    private readonly List<Task> _running = [];
    private volatile TaskCompletionSource _isUp = new(TaskCreationOptions.RunContinuationsAsynchronously);
    private int _lastReceipt;
    private long _repeats;

    private MixLoad(GrpcChannel channel) => _channel = channel;

    /// <summary>Names of the mixes that were acknowledged so far.</summary>
    public ICollection<string> Mixes => _mixes.Keys;

    /// <summary>Calls that were sent again because they had no answer.</summary>
    public long Repeats => Interlocked.Read(ref _repeats);

    /// <summary>Fills a new node with a studio and starts the clients.</summary>
    /// <param name="pours">Whether pours are made as well, which a worker then forecasts.</param>
    public static async Task<MixLoad> StartAsync(GrpcChannel channel, bool pours = true)
    {
        await SampleStudio.CreateAsync(channel);
        await SampleStudio.ReceiveAsync(channel, SampleStudio.Coat, "coat-a", Part.A, "coat-a-can", ReceivedMassMg);
        await SampleStudio.ReceiveAsync(channel, SampleStudio.Coat, "coat-b", Part.B, "coat-b-can", ReceivedMassMg);
        var load = new MixLoad(channel);
        load._isUp.SetResult();
        // Beside the test: clients that never rest would keep it from its turn.
        load._running.AddRange(Enumerable.Range(0, ClientCount).Select(_ => Task.Run(() => load.LogMixesAsync(pours))));
        load._running.Add(Task.Run(load.WatchAsync));
        return load;
    }

    /// <summary>So many more mixes are acknowledged.</summary>
    public async Task AcknowledgedAsync(int count)
    {
        for (var i = 0; i < count; i++) await _acknowledged.Reader.ReadAsync();
    }

    /// <summary>From now on calls wait for <see cref="Up"/>.</summary>
    public void Down() => _isUp = new(TaskCreationOptions.RunContinuationsAsynchronously);

    public void Up() => _isUp.TrySetResult();

    /// <summary>Waits for the warning of every pour acknowledged so far.</summary>
    public async Task AllWarnedAsync()
    {
        var poured = _pours.Keys.ToHashSet();
        using var timeout = new CancellationTokenSource(TimeSpan.FromMinutes(5));
        using var call = new ReminderService.ReminderServiceClient(_channel).WatchReminders(new() { Parent = SampleStudio.Name }, cancellationToken: timeout.Token);
        while (poured.Count > 0 && await call.ResponseStream.MoveNext(timeout.Token))
            if (call.ResponseStream.Current.Kind == Reminder.Types.Kind.Exotherm) poured.Remove(call.ResponseStream.Current.Subject);
        Assert.Empty(poured);
    }

    public async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync();
        Up();
        await Task.WhenAll(_running);
        _stop.Dispose();
    }

    /// <summary>Acknowledged mixes that are gone or changed, after the clients have stopped; masses and what was not acknowledged are compared as well.</summary>
    public async Task<int> LostAsync()
    {
        var kept = (await AllMixesAsync()).ToDictionary(mix => mix.Name);
        var lots = new LotService.LotServiceClient(_channel);
        // Every mix that is kept, acknowledged or not, drew its grams once: 100 kg - count x 1150 mg of A, x 480 mg of B.
        Assert.Equal(ReceivedMassMg - kept.Count * AMassMg, (await lots.GetContainerAsync(new() { Name = CanA })).RemainingMassMg);
        Assert.Equal(ReceivedMassMg - kept.Count * BMassMg, (await lots.GetContainerAsync(new() { Name = CanB })).RemainingMassMg);
        // A client's last call may have been kept without an answer; no more than that.
        Assert.InRange(kept.Keys.Except(_mixes.Keys).Count(), 0, ClientCount);
        return _mixes.Values.Count(mix => !kept.TryGetValue(mix.Name, out var found) || !found.Draws.Equals(mix.Draws));
    }

    /// <summary>Reminders that came twice on the wall, and pieces of which somebody was warned twice.</summary>
    public async Task<int> DoubledAsync()
    {
        var inbox = await AllAsync(
            token => new ReminderService.ReminderServiceClient(_channel).ListRemindersAsync(new() { Parent = SampleStudio.Name, PageSize = 500, PageToken = token }).ResponseAsync,
            page => page.Reminders, page => page.NextPageToken);
        var told = inbox.Where(reminder => reminder.Kind == Reminder.Types.Kind.Exotherm && reminder.State == Reminder.Types.State.Sent).Select(reminder => reminder.Subject).ToList();
        Assert.NotEmpty(told);
        return told.Count - told.Distinct().Count() + _remindersSeen.Count - _remindersSeen.Distinct().Count();
    }

    /// <summary>Links of evidence that do not hold.</summary>
    public async Task<int> BrokenLinksAsync()
    {
        using var call = new SealService.SealServiceClient(_channel).VerifyEvidence(new() { Parent = SampleStudio.Name });
        var steps = new List<VerifyEvidenceResponse>();
        await foreach (var step in call.ResponseStream.ReadAllAsync()) steps.Add(step);
        Assert.True(steps[^1].Summary.LinkCount > 0);
        return steps.Count(step => step.Fault is not null);
    }

    private Task<List<Mix>> AllMixesAsync() => AllAsync(
        token => new MixService.MixServiceClient(_channel).ListMixesAsync(new() { Parent = SampleStudio.Name, PageSize = 500, PageToken = token }).ResponseAsync,
        page => page.Mixes, page => page.NextPageToken);

    private async Task LogMixesAsync(bool pours)
    {
        var mixes = new MixService.MixServiceClient(_channel);
        for (var count = 0; !_stop.IsCancellationRequested; count++)
        {
            var id = $"receipt-{Interlocked.Increment(ref _lastReceipt):00000000}";
            var request = new RecordMixRequest { Parent = SampleStudio.Name, MixId = id, RequestId = Guid.NewGuid().ToString(), Mix = NewMix() };
            if (await UntilAnsweredAsync(() => mixes.RecordMixAsync(request).ResponseAsync) is not { } mix) return;
            _mixes[mix.Name] = mix;
            _acknowledged.Writer.TryWrite(mix.Name);
            if (pours && count % 20 == 0) await PourAsync(mix, $"piece-{id}");
        }
    }

    private async Task PourAsync(Mix mix, string pieceId)
    {
        var pieces = new PieceService.PieceServiceClient(_channel);
        var create = new CreatePieceRequest
        {
            Parent = SampleStudio.Name,
            PieceId = pieceId,
            RequestId = Guid.NewGuid().ToString(),
            Piece = new() { Site = SampleStudio.North, Label = pieceId },
        };
        if (await UntilAnsweredAsync(() => pieces.CreatePieceAsync(create).ResponseAsync) is not { } piece) return;
        var record = new RecordPourRequest
        {
            Parent = piece.Name,
            RequestId = Guid.NewGuid().ToString(),
            Pour = new() { Mix = mix.Name, Bench = SampleStudio.NorthBench, MassMg = 1000, DepthMm = 40, Pourer = "Ivo" },
        };
        if (await UntilAnsweredAsync(() => pieces.RecordPourAsync(record).ResponseAsync) is { } pour) _pours[piece.Name] = pour.Name;
    }

    /// <summary>Sends a call again, unchanged, until it is answered; null when the test is over first.</summary>
    private async Task<T?> UntilAnsweredAsync<T>(Func<Task<T>> call) where T : class
    {
        while (!_stop.IsCancellationRequested)
        {
            await _isUp.Task;
            try
            {
                return await call();
            }
            catch (RpcException e) when (e.StatusCode is StatusCode.Unavailable or StatusCode.Cancelled || e.StatusCode == StatusCode.Internal && e.Reason() == "")
            {
                // The connection died, or the store took nothing more; whether the call was kept is not known: the same request id asks again.
                Interlocked.Increment(ref _repeats);
            }
        }
        return null;
    }

    /// <summary>A wall screen that comes back after each blow and asks for what went out since.</summary>
    private async Task WatchAsync()
    {
        var reminders = new ReminderService.ReminderServiceClient(_channel);
        while (!_stop.IsCancellationRequested)
        {
            await _isUp.Task;
            try
            {
                var request = new WatchRemindersRequest { Parent = SampleStudio.Name, LastSeenReminder = _remindersSeen.LastOrDefault() ?? "" };
                using var call = reminders.WatchReminders(request, cancellationToken: _stop.Token);
                await foreach (var reminder in call.ResponseStream.ReadAllAsync(_stop.Token)) _remindersSeen.Enqueue(reminder.Name);
            }
            catch (Exception e) when (e is RpcException or OperationCanceledException)
            {
                // Struck, or the test is over.
            }
        }
    }

    private static async Task<List<TItem>> AllAsync<TPage, TItem>(Func<string, Task<TPage>> list, Func<TPage, IEnumerable<TItem>> items, Func<TPage, string> next)
    {
        var all = new List<TItem>();
        var token = "";
        do
        {
            var page = await list(token);
            all.AddRange(items(page));
            token = next(page);
        } while (token.Length > 0);
        return all;
    }

    private static Mix NewMix() => new()
    {
        Site = SampleStudio.North,
        ResinSystem = SampleStudio.Coat,
        Mixer = "Ivo",
        Draws =
        {
            new Mix.Types.Draw { Container = CanA, MassMg = AMassMg },
            new Mix.Types.Draw { Container = CanB, MassMg = BMassMg },
        },
    };
}
