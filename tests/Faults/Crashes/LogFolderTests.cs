using Microsoft.Data.Sqlite;
using Pourwright.Studio.Storage.Sqlite;

namespace Pourwright.Faults.Crashes;

/// <summary>The log is folded into the file beside the writer, and a fold that fails is heard of.</summary>
public sealed class LogFolderTests : IDisposable
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(30);

    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("pourwright-log-");

    private string Path => System.IO.Path.Combine(_folder.FullName, "studio.db");

    public void Dispose() => _folder.Delete(recursive: true);

    // 90 commits of a blob of 100 pages: 9,000 pages, past the 8,192 after which the log is folded. Nothing else folds it: the file would
    // stay as it is until the end.
    [Fact]
    public void Log_GrownPastItsLength_IsFoldedWhileTheWriterIsOpen()
    {
        using var store = new SqliteStore(Path);
        store.Migrate();
        using var writer = (PreparedConnection)store.ConnectWriter();
        Execute(writer, "CREATE TABLE blobs (content BLOB)");
        var before = new FileInfo(Path).Length;
        for (var commit = 0; commit < 90; commit++)
        {
            if (commit < 80) Assert.Equal(before, new FileInfo(Path).Length);
            writer.BeginCommit();
            Execute(writer, $"INSERT INTO blobs VALUES (randomblob({100 * 4096}))");
            writer.Commit();
        }
        Assert.True(SpinWait.SpinUntil(() => new FileInfo(Path).Length > before + 8_000 * 4096L, Patience), "The log was not folded.");
    }

    [Fact]
    public void Fold_ThatFailsForGood_ThrowsAtTheNextCommit()
    {
        using var store = new SqliteStore(Path);
        store.Migrate();
        using var writer = (PreparedConnection)store.OpenWriter();
        writer.BeginCommit();
        writer.Commit();
        writer.FoldBeside(() => throw new SqliteException("disk I/O error", SQLitePCL.raw.SQLITE_IOERR));
        Assert.True(SpinWait.SpinUntil(() => Throws(writer), Patience), "Commits go on.");
    }

    private static bool Throws(PreparedConnection writer)
    {
        try
        {
            writer.BeginCommit();
            writer.Commit();
            return false;
        }
        catch (SqliteException e)
        {
            return e.SqliteErrorCode == SQLitePCL.raw.SQLITE_IOERR;
        }
    }

    private static void Execute(PreparedConnection connection, string sql)
    {
        using var command = connection.CreateCommand();
        command.CommandText = sql;
        command.ExecuteNonQuery();
    }
}
