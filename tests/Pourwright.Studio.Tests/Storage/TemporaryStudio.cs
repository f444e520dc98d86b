using Microsoft.Extensions.Logging.Abstractions;
using Pourwright.Studio.Storage;
using Pourwright.Testing;

namespace Pourwright.Studio.Tests.Storage;

/// <summary>A store of its own, with its writer running and one table to write to.</summary>
public sealed class TemporaryStudio : IAsyncDisposable
{
    private readonly TestStore _kept;

    private TemporaryStudio(TestStore kept, TimeProvider clock)
    {
        _kept = kept;
        Store = kept.Open();
        Reads = new StudioReads(Store);
        Writer = new StudioWriter(Store, Commits, clock, NullLogger<StudioWriter>.Instance);
    }

    public StudioStore Store { get; }

    public StudioReads Reads { get; }

    public StudioWriter Writer { get; }

    public CommitSignal Commits { get; } = new();

    public static async Task<TemporaryStudio> StartAsync(TimeProvider? clock = null, TestStore? store = null)
    {
        var kept = store ?? TestStore.Create();
        var studio = new TemporaryStudio(kept, clock ?? TimeProvider.System);
        await studio.Writer.StartAsync(CancellationToken.None);
        await studio.Writer.WriteAsync(t => t.Execute($"CREATE TABLE notes (id {kept.NumberColumn}, text TEXT NOT NULL)"));
        return studio;
    }

    public Task<int> NoteAsync(string text) => Writer.WriteAsync(t => Note(t, text));

    public static int Note(StudioTransaction transaction, string text) =>
        transaction.ExecuteCounted("INSERT INTO notes (text) VALUES (@text)", new { text });

    public IReadOnlyList<string> Notes() => Reads.Read(r => r.Query<string>("SELECT text FROM notes ORDER BY id"));

    /// <summary>Occupies the writer until the returned gate is opened, so that what is written meanwhile shares one commit.</summary>
    public WriterGate HoldWriter() => new(Writer);

    public async ValueTask DisposeAsync()
    {
        await Writer.StopAsync(CancellationToken.None);
        Reads.Dispose();
        Store.Dispose();
        _kept.Dispose();
    }
}

/// <summary>A write that waits; opening the gate lets it end.</summary>
public sealed class WriterGate : IAsyncDisposable
{
    private readonly ManualResetEventSlim _open = new();
    private readonly TaskCompletionSource _entered = new(TaskCreationOptions.RunContinuationsAsynchronously);
    private readonly Task _held;

    public WriterGate(StudioWriter writer) => _held = writer.WriteAsync(_ =>
    {
        _entered.SetResult();
        _open.Wait();
    });

    /// <summary>The writer is at the gate.</summary>
    public Task Entered => _entered.Task;

    public async ValueTask DisposeAsync()
    {
        _open.Set();
        await _held;
        _open.Dispose();
    }
}
