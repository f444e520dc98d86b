using System.Diagnostics;
using Npgsql;
using Pourwright.Faults.Crashes;
using Pourwright.Host;
using Pourwright.Studio.Seals;
using Pourwright.Studio.Storage;
using Pourwright.Testing;

namespace Pourwright.Faults.Backups;

/// <summary>
/// Goal: a backup taken while people work holds all that was acknowledged before it began, and an empty node started on it is that studio.
/// Method: clients log mixes without a pause while one backup after another is taken and restored; the last is taken at rest, and
/// every row of every table compared.
/// </summary>
public sealed class BackupTests
{
    [Theory, EveryEngine]
    public async Task HotBackups_RestoreWithAllThatWasAcknowledged_AndTheLastOneRowByRow(string engine)
    {
        using var store = Engines.Create(engine);
        await using var harness = await StudioHarness.StartOnAsync(store);
        var load = await MixLoad.StartAsync(harness.Channel, pours: false);
        var count = Cycles.Of(inShort: 3, inLong: 200);
        var (lost, unsound) = (0, 0);
        await using (load)
            for (var backup = 0; backup < count; backup++)
            {
                await load.AcknowledgedAsync(20);
                IReadOnlyList<string> before = [.. load.Mixes];
                using var restored = Restored(engine, store, $"hot-{backup}");
                lost += before.Except(Query(restored, "SELECT name FROM mixes")).Count();
                unsound += Faults(restored).Count > 0 ? 1 : 0;
            }
        Figures.AtLeast($"backup_{engine}_hot", count, 1);
        Figures.AtMost($"backup_{engine}_acknowledged_lost", lost, 0);
        Figures.AtMost($"backup_{engine}_unsound", unsound, 0);

        var rows = store.Rows();
        using var last = Restored(engine, store, "at-rest");
        Assert.Equal(rows, last.Rows());
        await using var node = await StudioHarness.StartOnAsync(last);
        // Whoever starts it has a key made; nothing else changes.
        Assert.Equal(Records(rows), Records(last.Rows()));
        Figures.AtLeast($"backup_{engine}_rows_compared", rows.Count, 100);
    }

    private static IEnumerable<string> Records(IReadOnlyList<string> rows) => rows.Where(row => !row.StartsWith("access_keys:", StringComparison.Ordinal));

    [Fact]
    public async Task Backup_WhereAFileIs_IsRefusedAndTouchesNothing()
    {
        using var store = TestStore.OnFile();
        await using var harness = await StudioHarness.StartOnAsync(store);
        var (copy, errors) = (Path.Combine(store.Folder, "copy.db"), new StringWriter());
        await File.WriteAllTextAsync(copy, "last week's");

        Assert.Equal(2, BackupCommand.Run(["--file", store.Address, "--to", copy], TextWriter.Null, errors));

        Assert.Contains("is in the way", errors.ToString());
        Assert.Equal("last week's", await File.ReadAllTextAsync(copy));
    }

    [Fact]
    public async Task Backup_OfAFileWithAnEditedMix_SaysSo_AndGivesItNoGoodName()
    {
        using var store = TestStore.OnFile();
        await using (var harness = await StudioHarness.StartOnAsync(store))
        {
            var load = await MixLoad.StartAsync(harness.Channel, pours: false);
            await using (load) await load.AcknowledgedAsync(1);
        }
        store.Alter("UPDATE mixes SET mixer = 'Somebody' WHERE name = (SELECT min(name) FROM mixes)");
        var (copy, errors) = (Path.Combine(store.Folder, "copy.db"), new StringWriter());

        Assert.Equal(1, BackupCommand.Run(["--file", store.Address, "--to", copy], TextWriter.Null, errors));

        Assert.Contains("mixes", errors.ToString());
        Assert.False(File.Exists(copy));
    }

    /// <summary>A store of its own, made of a backup of another: by the backup command there and back, or by the server's own tools.</summary>
    private static TestStore Restored(string engine, TestStore store, string name)
    {
        if (engine == "file")
        {
            var (copy, target) = (Path.Combine(store.Folder, $"{name}.db"), TestStore.OnFile());
            var errors = new StringWriter();
            Assert.True(BackupCommand.Run(["--file", store.Address, "--to", copy], TextWriter.Null, errors) == 0, errors.ToString());
            Assert.True(BackupCommand.Run(["--file", copy, "--to", target.Address], TextWriter.Null, errors) == 0, errors.ToString());
            File.Delete(copy);
            return target;
        }
        var (dump, database) = (Path.Combine(store.Folder, $"{name}.dump"), TestStore.OnServer(isEmpty: true));
        RunTool("pg_dump", store, "-Fc", "--exclude-schema=sweeps", "-f", dump);
        RunTool("pg_restore", database, "--exit-on-error", dump);
        return database;
    }

    private static void RunTool(string tool, TestStore store, params string[] arguments)
    {
        var address = new NpgsqlConnectionStringBuilder(store.Address);
        string[] where = ["-h", address.Host!, "-p", $"{address.Port}", "-U", address.Username!, "-d", address.Database!];
        using var process = Process.Start(new ProcessStartInfo(tool, [.. where, .. arguments]) { RedirectStandardError = true })!;
        var errors = process.StandardError.ReadToEnd();
        process.WaitForExit();
        Assert.True(process.ExitCode == 0, errors);
    }

    private static IReadOnlyList<string> Query(TestStore store, string sql)
    {
        using var opened = store.Open();
        using var reads = new StudioReads(opened);
        return reads.Read(session => session.Query<string>(sql));
    }

    private static IReadOnlyList<string> Faults(TestStore store)
    {
        if (store.IsFile) return StudioFile.Faults(store.Address);
        using var opened = store.Open();
        using var reads = new StudioReads(opened);
        return reads.Read(session => new EvidenceCheck(session, SampleStudio.Name, null).Steps().Select(step => step.Fault?.ToText()).OfType<string>().ToList());
    }
}
