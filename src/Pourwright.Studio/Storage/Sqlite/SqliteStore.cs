using DbUp;
using DbUp.Engine.Output;
using Microsoft.Data.Sqlite;

namespace Pourwright.Studio.Storage.Sqlite;

/// <summary>The database file of one node: WAL, every commit flushed (synchronous=FULL), foreign keys checked.</summary>
/// <remarks>NORMAL would survive a killed process but not a power cut; an acknowledged pour must survive both.</remarks>
public sealed class SqliteStore(string path) : StudioStore
{
    /// <summary>How long a statement waits for a lock held by another process, such as a backup. Common practice, no source.</summary>
    private const int BusySeconds = 5;

    /// <summary>Bytes the log file keeps once it begins anew: what it grows to under load (<see cref="LogFolder"/>), as writing over is cheaper than growing.</summary>
    private const int LogBytesKept = 72 * 1024 * 1024;

    /// <summary>KiB of pages that a connection keeps: what mixes and pours touch of a season. Common practice, no source.</summary>
    private const int KeptKiB = 64 * 1024;

    // A connection is used by one thread at a time, so SQLite need not lock it at every call; nor count, under a lock of all, what memory it takes.
    static SqliteStore()
    {
        SQLitePCL.Batteries_V2.Init();
        SQLitePCL.raw.sqlite3_config(SQLitePCL.raw.SQLITE_CONFIG_MULTITHREAD);
        SQLitePCL.raw.sqlite3_config(SQLitePCL.raw.SQLITE_CONFIG_MEMSTATUS, 0);
    }

    /// <summary>The database file.</summary>
    public string Path { get; } = System.IO.Path.GetFullPath(path);

    public override string Place => Path;

    internal override int IdleReadersMost => 2 * Environment.ProcessorCount;

    private string ConnectionString => new SqliteConnectionStringBuilder
    {
        DataSource = Path,
        Mode = SqliteOpenMode.ReadWriteCreate,
        Pooling = false,
        ForeignKeys = true,
        DefaultTimeout = BusySeconds,
    }.ToString();

    public override void Migrate()
    {
        Directory.CreateDirectory(System.IO.Path.GetDirectoryName(Path)!);
        using (OpenWriter()) { }
        var result = DeployChanges.To.SqliteDatabase(ConnectionString)
            .WithScriptsEmbeddedInAssembly(typeof(SqliteStore).Assembly, name => name.Contains(".Migrations.Sqlite.", StringComparison.Ordinal))
            .WithTransactionPerScript()
            .WithVariablesDisabled()
            .LogTo(new NoOpUpgradeLog())
            .Build()
            .PerformUpgrade();
        if (!result.Successful)
            throw new InvalidOperationException($"Migration {result.ErrorScript?.Name} of {Path} failed and was rolled back.", result.Error);
    }

    /// <summary>A connection that writes. What it deletes it overwrites: a name that was forgotten stands in no free page of a backup.</summary>
    public SqliteConnection OpenWriter() => OpenPrepared($"""
        PRAGMA journal_mode = WAL;
        PRAGMA synchronous = FULL;
        PRAGMA secure_delete = ON;
        PRAGMA journal_size_limit = {LogBytesKept};
        PRAGMA wal_autocheckpoint = {LogFolder.PagesBeforeFold};
        PRAGMA temp_store = MEMORY;
        PRAGMA cache_size = -{KeptKiB};
        """);

    /// <summary>A connection that refuses to write. <see cref="StudioReads"/> keeps a few of them.</summary>
    public SqliteConnection OpenReader() => OpenPrepared("PRAGMA query_only = ON;");

    internal override IStudioConnection ConnectWriter()
    {
        var writer = (PreparedConnection)OpenWriter();
        writer.FoldBeside(() => OpenPrepared("PRAGMA synchronous = FULL;"));
        return writer;
    }

    internal override IStudioConnection ConnectReader() => (PreparedConnection)OpenReader();

    private PreparedConnection OpenPrepared(string pragmas)
    {
        var connection = new PreparedConnection(ConnectionString);
        try
        {
            connection.Open();
            SQLitePCL.raw.sqlite3_busy_timeout(connection.Handle, BusySeconds * 1000);
            using var command = connection.CreateCommand();
            command.CommandText = pragmas;
            command.ExecuteNonQuery();
            return connection;
        }
        catch
        {
            connection.Dispose();
            throw;
        }
    }
}
