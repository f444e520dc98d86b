using System.Data.Common;
using CsCheck;
using Grpc.Core;
using Microsoft.Data.Sqlite;
using Pourwright.Studio.Refusals;
using Pourwright.Testing;
using static Pourwright.Studio.Tests.Storage.TemporaryStudio;

namespace Pourwright.Studio.Tests.Storage;

public sealed class StudioWriterTests
{
    [Fact]
    public async Task WriteAsync_NotYetCommitted_IsNeitherAnsweredNorVisible_ThenBoth()
    {
        await using var studio = await TemporaryStudio.StartAsync();
        Task<int> note;
        await using (var gate = studio.HoldWriter())
        {
            await gate.Entered;
            note = studio.NoteAsync("poured");
            Assert.False(note.IsCompleted);
            Assert.Empty(studio.Notes());
        }
        await note;
        Assert.Equal(["poured"], studio.Notes());
    }

    [Fact]
    public async Task WriteAsync_RanInAnUnfinishedBatch_IsNeitherAnsweredNorVisible_ThenBoth()
    {
        await using var studio = await TemporaryStudio.StartAsync();
        await using var first = studio.HoldWriter();
        await first.Entered;
        var note = studio.NoteAsync("poured");
        await using (var second = studio.HoldWriter())
        {
            await first.DisposeAsync();
            // The writer took note and second together and stands in second: note has run, its commit has not.
            await second.Entered;
            Assert.False(note.IsCompleted);
            Assert.Empty(studio.Notes());
        }
        await note;
        Assert.Equal(["poured"], studio.Notes());
    }

    [Fact]
    public async Task WriteAsync_OneOf64Throws_OnlyItFails()
    {
        await using var studio = await TemporaryStudio.StartAsync();
        for (var round = 0; round < 100; round++)
        {
            var poison = round % 64;
            var writes = await BatchOf(studio, 64, i => i == poison);
            for (var i = 0; i < 64; i++)
                Assert.Equal(i == poison ? TaskStatus.Faulted : TaskStatus.RanToCompletion, writes[i].Status);
        }
        Assert.Equal(6300, studio.Notes().Count);
        Assert.DoesNotContain("poison", studio.Notes());
    }

    [Fact]
    public async Task WriteAsync_ConstraintBroken_OnlyItFailsAndLeavesNothingOfItself()
    {
        await using var studio = await TemporaryStudio.StartAsync();
        Task refused;
        await using (var gate = studio.HoldWriter())
        {
            await gate.Entered;
            _ = studio.NoteAsync("before");
            refused = studio.Writer.WriteAsync(t =>
            {
                Note(t, "half");
                t.Execute("INSERT INTO notes (text) VALUES (NULL)");
            });
            _ = studio.NoteAsync("after");
        }
        await Assert.ThrowsAnyAsync<DbException>(() => refused);
        await studio.NoteAsync("last");
        Assert.Equal(["before", "after", "last"], studio.Notes());
    }

    [Fact]
    public async Task WriteAsync_CommitFails_EveryWriteOfItFails_AndTheNextSucceeds()
    {
        await using var studio = await TemporaryStudio.StartAsync();
        // A deferred foreign key is checked at the commit: a real way for a commit to fail.
        await studio.Writer.WriteAsync(t => t.Execute(
            "CREATE TABLE orphans (note BIGINT REFERENCES notes (id) DEFERRABLE INITIALLY DEFERRED)"));
        Task[] writes;
        await using (var gate = studio.HoldWriter())
        {
            await gate.Entered;
            writes = [studio.NoteAsync("good"), studio.Writer.WriteAsync(t => t.Execute("INSERT INTO orphans VALUES (99)"))];
        }
        foreach (var write in writes) await Assert.ThrowsAnyAsync<DbException>(() => write);
        Assert.Empty(studio.Notes());
        await studio.NoteAsync("next");
        Assert.Equal(["next"], studio.Notes());
        Assert.Null(studio.Writer.Fault);
    }

    [Fact]
    public async Task WriteAsync_DiskOfTheFileFull_IsResourceExhausted_AndRecoversByItself()
    {
        await using var studio = await TemporaryStudio.StartAsync(store: TestStore.OnFile());
        var pages = await studio.Writer.WriteAsync(t => t.Scalar<long>("PRAGMA page_count"));
        await studio.Writer.WriteAsync(t => t.Scalar<long>($"PRAGMA max_page_count = {pages}"));
        var refusal = await Assert.ThrowsAsync<Refusal>(() => studio.NoteAsync(new string('x', 100_000)));
        Assert.Equal((StatusCode.ResourceExhausted, Reasons.StoreFull), (refusal.Code, refusal.Reason));
        await studio.Writer.WriteAsync(t => t.Scalar<long>("PRAGMA max_page_count = 100000"));
        await studio.NoteAsync("room again");
        Assert.Equal(["room again"], studio.Notes());
    }

    [Fact]
    public async Task WriteAsync_InputOutputErrorOfTheFile_StopsTheWriterForGood()
    {
        await using var studio = await TemporaryStudio.StartAsync(store: TestStore.OnFile());
        Task[] writes;
        await using (var gate = studio.HoldWriter())
        {
            await gate.Entered;
            writes = [studio.NoteAsync("same batch"), studio.Writer.WriteAsync(_ => throw new SqliteException("disk I/O error", SQLitePCL.raw.SQLITE_IOERR))];
        }
        foreach (var write in writes) Assert.Equal(Reasons.StoreUnavailable, (await Assert.ThrowsAsync<Refusal>(() => write)).Reason);
        var later = await Assert.ThrowsAsync<Refusal>(() => studio.NoteAsync("later"));
        Assert.Equal((StatusCode.Unavailable, Reasons.StoreUnavailable), (later.Code, later.Reason));
        Assert.NotNull(later.RetryAfter);
        Assert.IsType<SqliteException>(studio.Writer.Fault);
        Assert.Empty(studio.Notes());
    }

    [Fact]
    public async Task WriteAsync_CancelledBeforeItBegins_DoesNotRun()
    {
        await using var studio = await TemporaryStudio.StartAsync();
        using var cancelled = new CancellationTokenSource();
        Task write;
        await using (var gate = studio.HoldWriter())
        {
            await gate.Entered;
            write = studio.Writer.WriteAsync(t => Note(t, "cancelled"), cancelled.Token);
            await cancelled.CancelAsync();
        }
        await Assert.ThrowsAnyAsync<OperationCanceledException>(() => write);
        Assert.Empty(studio.Notes());
    }

    [Fact]
    public async Task WriteAsync_CancelledOnceBegun_Finishes()
    {
        await using var studio = await TemporaryStudio.StartAsync();
        using var cancelled = new CancellationTokenSource();
        await studio.Writer.WriteAsync(t =>
        {
            cancelled.Cancel();
            return Note(t, "begun");
        }, cancelled.Token);
        Assert.Equal(["begun"], studio.Notes());
    }

    [Fact]
    public async Task StopAsync_WritesQueued_FinishesThemAndFoldsTheLogIntoTheFile()
    {
        await using var studio = await TemporaryStudio.StartAsync(store: TestStore.OnFile());
        var notes = Enumerable.Range(0, 500).Select(i => studio.NoteAsync($"{i}")).ToList();
        await studio.Writer.StopAsync(CancellationToken.None);
        await Task.WhenAll(notes);
        Assert.Equal(500, studio.Notes().Count);
        Assert.True(new FileInfo(studio.Store.Place + "-wal") is { Exists: false } or { Length: 0 });
        Assert.Equal(Reasons.StoreUnavailable, (await Assert.ThrowsAsync<Refusal>(() => studio.NoteAsync("late"))).Reason);
    }

    [Fact]
    public async Task Now_ClockGoesBack_NeverDoes()
    {
        var clock = new SteppingClock();
        await using var studio = await TemporaryStudio.StartAsync(clock);
        List<DateTimeOffset> seen = [];
        foreach (var step in (TimeSpan[])[TimeSpan.FromSeconds(1), TimeSpan.FromHours(-1), TimeSpan.FromSeconds(1), TimeSpan.FromHours(2)])
        {
            clock.Now += step;
            seen.Add(await studio.Writer.WriteAsync(t => t.Now));
        }
        // +1 s, then an hour back and a second on: both are held at the first; two hours on it runs again.
        Assert.Equal(seen[0], seen[1]);
        Assert.Equal(seen[0], seen[2]);
        Assert.Equal(seen[0] + TimeSpan.FromHours(1) + TimeSpan.FromSeconds(1), seen[3]);
    }

    [Fact]
    public async Task Now_FinerThanAMillisecond_IsCut()
    {
        var clock = new SteppingClock { Now = DateTimeOffset.UnixEpoch + TimeSpan.FromTicks(12_345_678) };
        await using var studio = await TemporaryStudio.StartAsync(clock);
        // 12,345,678 ticks of 100 ns = 1,234.5678 ms
        Assert.Equal(DateTimeOffset.UnixEpoch + TimeSpan.FromMilliseconds(1234), await studio.Writer.WriteAsync(t => t.Now));
    }

    [Fact]
    public async Task NextAsync_Commit_Completes()
    {
        await using var studio = await TemporaryStudio.StartAsync();
        var next = studio.Commits.NextAsync(CancellationToken.None);
        Assert.False(next.IsCompleted);
        await studio.NoteAsync("x");
        await next.WaitAsync(TimeSpan.FromSeconds(30));
    }

    [Fact]
    public async Task WriteAsync_RandomMixOfGoodAndBad_StoresExactlyTheGood() =>
        await Gen.Bool.Array[1, 300].SampleAsync(async bad =>
        {
            await using var studio = await TemporaryStudio.StartAsync();
            await BatchOf(studio, bad.Length, i => bad[i]);
            Assert.Equal(
                Enumerable.Range(0, bad.Length).Where(i => !bad[i]).Select(i => $"{i}"),
                studio.Notes());
        }, iter: 20, threads: 1);

    private static async Task<List<Task>> BatchOf(TemporaryStudio studio, int count, Predicate<int> isBad)
    {
        List<Task> writes;
        await using (var gate = studio.HoldWriter())
        {
            await gate.Entered;
            writes = [.. Enumerable.Range(0, count).Select(i => isBad(i) ? Poison(studio) : studio.NoteAsync($"{i}"))];
        }
        await Task.WhenAll(writes).ContinueWith(_ => { }, TaskScheduler.Default);
        return writes;
    }

    private static Task Poison(TemporaryStudio studio) => studio.Writer.WriteAsync(t =>
    {
        Note(t, "poison");
        throw new InvalidOperationException("poison");
    });

    /// <summary>A clock that may also go back, which the testing library's does not.</summary>
    private sealed class SteppingClock : TimeProvider
    {
        public DateTimeOffset Now { get; set; } = new(2026, 3, 1, 12, 0, 0, TimeSpan.Zero);

        public override DateTimeOffset GetUtcNow() => Now;
    }
}
