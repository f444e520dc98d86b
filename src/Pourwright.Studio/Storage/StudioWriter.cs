using System.Diagnostics;
using System.Threading.Channels;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage.Chain;
using Pourwright.Studio.Telemetry;

namespace Pourwright.Studio.Storage;

/// <summary>The node's single writer: one thread, one connection, one flush for all the writes that are waiting.</summary>
/// <remarks>
/// Each write runs in a savepoint, so a bad one fails alone; its result is handed over only after the commit, so an answer is never
/// ahead of the disk. A commit that fails fails all its writes. Where several nodes share a store, a commit holds its one lock from
/// beginning to end: what one write loads no other changes before it has saved, and whatever counts up (the outbox, the order of
/// sending, the events of containers) counts in the order of the commits.
/// A commit that fails for a reason that cannot be trusted to pass (a file's I/O error, a damaged file) stops the writer for good: a
/// second flush may report success over lost pages. The node then shuts down; at the next start SQLite recovers from its log.
/// Foreign keys declared DEFERRABLE would fail at the commit, for everyone: do not declare them so.
/// </remarks>
public sealed class StudioWriter(
    StudioStore store,
    CommitSignal commits,
    TimeProvider clock,
    ILogger<StudioWriter> logger,
    IHostApplicationLifetime? lifetime = null,
    int batchMost = StudioWriter.BatchMax) : IHostedService
{
    /// <summary>Writes in one commit. Measured on two cores: beyond 256 the gain a write is small and the wait of the first grows.</summary>
    private const int BatchMax = 256;

    /// <summary>Writes that may wait; then callers do.</summary>
    private const int QueueMax = 4 * BatchMax;

    /// <summary>Synchronous continuations wake the writer's thread directly; on the callers' side nothing runs but the wait for the answer.</summary>
    private readonly Channel<Write> _queue = Channel.CreateBounded<Write>(
        new BoundedChannelOptions(QueueMax) { SingleReader = true, AllowSynchronousContinuations = true });
    private readonly LastingRows _lasting = new();
    private Task _loop = Task.CompletedTask;
    private DateTimeOffset _lastNow = DateTimeOffset.MinValue;

    /// <summary>Why the writer has stopped for good; null while it is sound. The host ends with a failure code when it is set.</summary>
    public Exception? Fault { get; private set; }

    /// <summary>Runs <paramref name="work"/> on the writer's thread and returns its result once it is on disk.</summary>
    /// <exception cref="OperationCanceledException">Cancelled before the work began. Once begun it finishes.</exception>
    /// <exception cref="Refusal">STORE_FULL, STORE_UNAVAILABLE, or whatever the work refuses.</exception>
    public async Task<T> WriteAsync<T>(Func<StudioTransaction, T> work, CancellationToken ct = default)
    {
        var write = new Write<T>(work, ct);
        try
        {
            await _queue.Writer.WriteAsync(write, ct);
        }
        catch (ChannelClosedException)
        {
            throw Refusal.StoreUnavailable();
        }
        return await write.Answer;
    }

    /// <inheritdoc cref="WriteAsync{T}"/>
    public Task WriteAsync(Action<StudioTransaction> work, CancellationToken ct = default) =>
        WriteAsync(transaction => { work(transaction); return true; }, ct);

    /// <summary>Brings the store up to date, links what was recorded before there were chains, and begins to write.</summary>
    public Task StartAsync(CancellationToken cancellationToken)
    {
        store.Migrate();
        EvidenceChain.AdoptEarlierRows(store, NextNow().ToUnixMs());
        _loop = Task.Factory.StartNew(Run, CancellationToken.None, TaskCreationOptions.LongRunning, TaskScheduler.Default);
        return Task.CompletedTask;
    }

    /// <summary>Accepts no more and finishes what is queued.</summary>
    public Task StopAsync(CancellationToken cancellationToken)
    {
        _queue.Writer.TryComplete();
        return _loop.WaitAsync(cancellationToken);
    }

    private void Run()
    {
        try
        {
            using var connection = store.ConnectWriter();
            var chain = new EvidenceChain(connection);
            while (WaitForWrites()) Commit(connection, chain, TakeBatch());
            connection.Finish();
        }
        catch (Exception e)
        {
            Fault = e;
            logger.LogCritical(e, "The store at {Path} accepts no more writes. The node stops; start it again once the store is sound.", store.Place);
            lifetime?.StopApplication();
        }
        finally
        {
            RefuseTheRest();
        }
    }

    private bool WaitForWrites() => _queue.Reader.WaitToReadAsync().AsTask().GetAwaiter().GetResult();

    private List<Write> TakeBatch()
    {
        List<Write> batch = [];
        while (batch.Count < batchMost && _queue.Reader.TryRead(out var write)) batch.Add(write);
        return batch;
    }

    private void Commit(IStudioConnection connection, EvidenceChain chain, List<Write> batch)
    {
        var began = Stopwatch.GetTimestamp();
        try
        {
            connection.BeginCommit();
            chain.Begin();
            foreach (var write in batch) RunAlone(connection, chain, write);
            connection.Commit();
        }
        catch (Exception e)
        {
            var refusal = Explain(e);
            foreach (var write in batch) write.Fail(refusal);
            if (!StoreErrors.MayPass(e)) throw;
            connection.RollBack();
            _lasting.Forget();
            logger.LogError(e, "A commit of {Count} writes failed; none of them was kept.", batch.Count);
            return;
        }
        StudioTelemetry.TellCommit(batch.Count, Stopwatch.GetElapsedTime(began));
        commits.Raise();
        foreach (var write in batch) write.HandOver();
    }

    private void RunAlone(IStudioConnection connection, EvidenceChain chain, Write write)
    {
        if (write.IsCancelled) return;
        connection.BeginWrite();
        var transaction = new StudioTransaction(connection, chain, _lasting, NextNow(), write.TraceParent);
        if (write.TryRun(transaction, mayFailAlone: e => !StoreErrors.EndsTransaction(e)) && !transaction.IsDry)
        {
            connection.KeepWrite();
            return;
        }
        connection.UndoWrite();
        _lasting.Forget();
    }

    private DateTimeOffset NextNow()
    {
        var now = Instants.FromUnixMs(clock.GetUtcNow().ToUnixMs());
        return _lastNow = now > _lastNow ? now : _lastNow;
    }

    private static Exception Explain(Exception e) => StoreErrors.ToRefusal(e) ?? e;

    private void RefuseTheRest()
    {
        _queue.Writer.TryComplete();
        while (_queue.Reader.TryRead(out var write)) write.Fail(Refusal.StoreUnavailable());
    }

    private abstract class Write(CancellationToken ct)
    {
        public bool IsCancelled => ct.IsCancellationRequested;

        /// <summary>Taken on the caller's side: the writer's thread is in no span.</summary>
        public string? TraceParent { get; } = StudioTelemetry.TraceParent();

        protected CancellationToken Token => ct;

        public abstract bool TryRun(StudioTransaction transaction, Predicate<Exception> mayFailAlone);

        public abstract void HandOver();

        public abstract void Fail(Exception e);
    }

    private sealed class Write<T>(Func<StudioTransaction, T> work, CancellationToken ct) : Write(ct)
    {
        private readonly TaskCompletionSource<T> _answer = new(TaskCreationOptions.RunContinuationsAsynchronously);
        private T? _result;
        private Exception? _own;
        private bool _ran;

        public Task<T> Answer => _answer.Task;

        public override bool TryRun(StudioTransaction transaction, Predicate<Exception> mayFailAlone)
        {
            _ran = true;
            try
            {
                _result = work(transaction);
                transaction.Complete();
                return true;
            }
            catch (Exception e) when (mayFailAlone(e))
            {
                _own = e;
                return false;
            }
        }

        public override void HandOver()
        {
            if (!_ran) _answer.TrySetCanceled(Token);
            else if (_own is not null) _answer.TrySetException(_own);
            else _answer.TrySetResult(_result!);
        }

        public override void Fail(Exception e) => _answer.TrySetException(_own ?? e);
    }
}
