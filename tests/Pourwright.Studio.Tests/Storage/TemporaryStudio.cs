using Microsoft.Extensions.Logging.Abstractions;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Tests.Storage;

/// <summary>A store in a folder of its own, with its writer running and one table to write to.</summary>
public sealed class TemporaryStudio : IAsyncDisposable
{
    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("pourwright-");

    private TemporaryStudio(TimeProvider clock)
    {
        Store = new StudioStore(Path.Combine(_folder.FullName, "studio.db"));
        Reads = new StudioReads(Store);
        Writer = new StudioWriter(Store, Commits, clock, NullLogger<StudioWriter>.Instance);
    }

    public StudioStore Store { get; }

    public StudioReads Reads { get; }

    public StudioWriter Writer { get; }

    public CommitSignal Commits { get; } = new();

    public static async Task<TemporaryStudio> StartAsync(TimeProvider? clock = null)
    {
        var studio = new TemporaryStudio(clock ?? TimeProvider.System);
        await studio.Writer.StartAsync(CancellationToken.None);
        await studio.Writer.WriteAsync(t => t.Execute("CREATE TABLE notes (id INTEGER PRIMARY KEY, text TEXT NOT NULL)"));
        return studio;
    }

    public Task<int> NoteAsync(string text) => Writer.WriteAsync(t => Note(t, text));

    public static int Note(StudioTransaction transaction, string text) =>
        transaction.Execute("INSERT INTO notes (text) VALUES (@text)", new { text });

    public IReadOnlyList<string> Notes() => Reads.Read(r => r.Query<string>("SELECT text FROM notes ORDER BY id"));

    /// <summary>Occupies the writer until the returned gate is opened, so that what is written meanwhile shares one commit.</summary>
    public WriterGate HoldWriter() => new(Writer);

    public async ValueTask DisposeAsync()
    {
        await Writer.StopAsync(CancellationToken.None);
        Reads.Dispose();
        _folder.Delete(recursive: true);
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
