using System.Collections.Concurrent;
using System.Threading.Channels;
using Grpc.Core;
using Grpc.Net.Client;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Journeys;

/// <summary>
/// Goal: whatever was acknowledged survives kill -9, and nobody is reminded twice. Method: eight clients log mixes, every
/// twentieth is poured so deep that it will run away and somebody must be told at once; the node is killed fifty times
/// while they go on; every call without an answer is sent again with its request id. In the end mixes, masses and
/// reminders are counted. Kill -9 leaves the kernel's pages alone: it proves commit before answer, not the flush.
/// </summary>
public sealed class KillTests : IDisposable
{
    private const int KillCount = 50;
    private const int ClientCount = 8;

    /// <summary>Parts that are exactly 2 : 1 by volume at 1150 and 960 kg/m3: 1150 / 1150 = 1 and 480 / 960 = 0.5.</summary>
    private const long AMassMg = 1150, BMassMg = 480;

    private const long ReceivedMassMg = 100_000_000;

    private readonly TestStore _store = TestStore.Create();
    private readonly ConcurrentDictionary<string, Mix> _mixes = [];
    private readonly ConcurrentDictionary<string, string> _pours = [];
    private readonly ConcurrentQueue<string> _remindersSeen = [];
    private readonly Channel<string> _acknowledged = Channel.CreateUnbounded<string>();
    private volatile TaskCompletionSource _isUp = new();

    public void Dispose() => _store.Dispose();

    [Fact]
    public async Task KilledFiftyTimesUnderLoad_LosesNoAcknowledgedWrite_AndRemindsNobodyTwice()
    {
        await using var node = await NodeProcess.StartAsync(_store);
        await SampleStudio.CreateAsync(node.Channel);
        await SampleStudio.ReceiveAsync(node.Channel, SampleStudio.Coat, "coat-a", Part.A, "coat-a-can", ReceivedMassMg);
        await SampleStudio.ReceiveAsync(node.Channel, SampleStudio.Coat, "coat-b", Part.B, "coat-b-can", ReceivedMassMg);
        _isUp.SetResult();

        using var stop = new CancellationTokenSource();
        var clients = Enumerable.Range(0, ClientCount).Select(client => LogMixesAsync(node.Channel, client, stop.Token)).ToList();
        var watch = WatchAsync(node.Channel, stop.Token);
        var random = new Random(20260206);
        for (var kill = 0; kill < KillCount; kill++)
        {
            await AcknowledgedAsync(random.Next(5, 60));
            _isUp = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
            await node.KillAsync();
            await node.StartAgainAsync();
            _isUp.SetResult();
        }
        await RemindersSeenAsync(node.Channel);
        await stop.CancelAsync();
        await Task.WhenAll([.. clients, watch]);

        await AssertNothingLostAsync(node.Channel);
        await AssertEveryLinkHoldsAsync(node.Channel);
        await AssertNobodyToldTwiceAsync(node.Channel);
    }

    private async Task LogMixesAsync(GrpcChannel channel, int client, CancellationToken stop)
    {
        var mixes = new MixService.MixServiceClient(channel);
        for (var count = 0; !stop.IsCancellationRequested; count++)
        {
            var request = new RecordMixRequest { Parent = SampleStudio.Name, MixId = $"mix-{client}-{count}", RequestId = Guid.NewGuid().ToString(), Mix = NewMix() };
            if (await UntilAnsweredAsync(() => mixes.RecordMixAsync(request).ResponseAsync, stop) is not { } mix) return;
            _mixes[mix.Name] = mix;
            _acknowledged.Writer.TryWrite(mix.Name);
            if (count % 20 == 0) await PourAsync(channel, mix, $"piece-{client}-{count}", stop);
        }
    }

    private async Task PourAsync(GrpcChannel channel, Mix mix, string pieceId, CancellationToken stop)
    {
        var pieces = new PieceService.PieceServiceClient(channel);
        var create = new CreatePieceRequest
        {
            Parent = SampleStudio.Name,
            PieceId = pieceId,
            RequestId = Guid.NewGuid().ToString(),
            Piece = new() { Site = SampleStudio.North, Label = pieceId },
        };
        if (await UntilAnsweredAsync(() => pieces.CreatePieceAsync(create).ResponseAsync, stop) is not { } piece) return;
        var record = new RecordPourRequest
        {
            Parent = piece.Name,
            RequestId = Guid.NewGuid().ToString(),
            Pour = new() { Mix = mix.Name, Bench = SampleStudio.NorthBench, MassMg = 1000, DepthMm = 40, Pourer = "Ivo" },
        };
        if (await UntilAnsweredAsync(() => pieces.RecordPourAsync(record).ResponseAsync, stop) is { } pour) _pours[piece.Name] = pour.Name;
    }

    /// <summary>Sends a call again, unchanged, until it is answered; null when the test is over first.</summary>
    private async Task<T?> UntilAnsweredAsync<T>(Func<Task<T>> call, CancellationToken stop) where T : class
    {
        while (!stop.IsCancellationRequested)
        {
            await _isUp.Task.WaitAsync(stop).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
            try
            {
                return await call();
            }
            catch (RpcException e) when (e.StatusCode is StatusCode.Unavailable or StatusCode.Cancelled or StatusCode.Internal && e.Reason() == "")
            {
                // The connection died; whether the call was kept is not known: the same request id asks again.
            }
        }
        return null;
    }

    /// <summary>A wall screen that comes back after each kill and asks for what went out since.</summary>
    private async Task WatchAsync(GrpcChannel channel, CancellationToken stop)
    {
        var reminders = new ReminderService.ReminderServiceClient(channel);
        while (!stop.IsCancellationRequested)
        {
            await _isUp.Task.WaitAsync(stop).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
            try
            {
                var request = new WatchRemindersRequest { Parent = SampleStudio.Name, LastSeenReminder = _remindersSeen.LastOrDefault() ?? "" };
                using var call = reminders.WatchReminders(request, cancellationToken: stop);
                await foreach (var reminder in call.ResponseStream.ReadAllAsync(stop)) _remindersSeen.Enqueue(reminder.Name);
            }
            catch (Exception e) when (e is RpcException or OperationCanceledException)
            {
                // Killed, or the test is over.
            }
        }
    }

    private async Task AcknowledgedAsync(int count)
    {
        for (var i = 0; i < count; i++) await _acknowledged.Reader.ReadAsync();
    }

    /// <summary>Every pour that was acknowledged so far has its warning.</summary>
    private async Task RemindersSeenAsync(GrpcChannel channel)
    {
        var poured = _pours.Keys.ToHashSet();
        using var timeout = new CancellationTokenSource(TimeSpan.FromMinutes(2));
        using var call = new ReminderService.ReminderServiceClient(channel).WatchReminders(new() { Parent = SampleStudio.Name }, cancellationToken: timeout.Token);
        while (poured.Count > 0 && await call.ResponseStream.MoveNext(timeout.Token))
            if (call.ResponseStream.Current.Kind == Reminder.Types.Kind.Exotherm) poured.Remove(call.ResponseStream.Current.Subject);
        Assert.Empty(poured);
    }

    private async Task AssertNothingLostAsync(GrpcChannel channel)
    {
        var kept = await AllAsync(
            token => new MixService.MixServiceClient(channel).ListMixesAsync(new() { Parent = SampleStudio.Name, PageSize = 500, PageToken = token }).ResponseAsync,
            page => page.Mixes, page => page.NextPageToken);
        var byName = kept.ToDictionary(mix => mix.Name);
        Assert.All(_mixes.Values, mix => Assert.Equal(mix.Draws, byName[mix.Name].Draws));
        // Every mix that is kept, acknowledged or not, drew its grams once: 100 kg - count x 1150 mg of A, x 480 mg of B.
        var lots = new LotService.LotServiceClient(channel);
        Assert.Equal(ReceivedMassMg - kept.Count * AMassMg, (await lots.GetContainerAsync(new() { Name = "studios/alder/containers/coat-a-can" })).RemainingMassMg);
        Assert.Equal(ReceivedMassMg - kept.Count * BMassMg, (await lots.GetContainerAsync(new() { Name = "studios/alder/containers/coat-b-can" })).RemainingMassMg);
        // A client's last call may have been kept without an answer; no more than that.
        Assert.InRange(kept.Count - _mixes.Count, 0, ClientCount);
    }

    private static async Task AssertEveryLinkHoldsAsync(GrpcChannel channel)
    {
        using var call = new SealService.SealServiceClient(channel).VerifyEvidence(new() { Parent = SampleStudio.Name });
        var steps = new List<VerifyEvidenceResponse>();
        await foreach (var step in call.ResponseStream.ReadAllAsync()) steps.Add(step);
        Assert.Empty(steps.Select(step => step.Fault).OfType<EvidenceFault>());
        Assert.True(steps[^1].Summary.LinkCount > 0);
    }

    private async Task AssertNobodyToldTwiceAsync(GrpcChannel channel)
    {
        var inbox = await AllAsync(
            token => new ReminderService.ReminderServiceClient(channel).ListRemindersAsync(new() { Parent = SampleStudio.Name, PageSize = 500, PageToken = token }).ResponseAsync,
            page => page.Reminders, page => page.NextPageToken);
        var told = inbox.Where(reminder => reminder.Kind == Reminder.Types.Kind.Exotherm && reminder.State == Reminder.Types.State.Sent).ToList();
        Assert.NotEmpty(told);
        Assert.Equal(told.Count, told.Select(reminder => reminder.Subject).Distinct().Count());
        Assert.Equal(_remindersSeen.Count, _remindersSeen.Distinct().Count());
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
            new Mix.Types.Draw { Container = "studios/alder/containers/coat-a-can", MassMg = AMassMg },
            new Mix.Types.Draw { Container = "studios/alder/containers/coat-b-can", MassMg = BMassMg },
        },
    };
}
