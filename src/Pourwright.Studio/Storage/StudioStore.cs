using DbUp;
using DbUp.Engine.Output;
using Microsoft.Data.Sqlite;

namespace Pourwright.Studio.Storage;

/// <summary>The database file of one node: WAL, every commit flushed (synchronous=FULL), foreign keys checked.</summary>
/// <remarks>NORMAL would survive a killed process but not a power cut; an acknowledged pour must survive both.</remarks>
public sealed class StudioStore(string path)
{
    /// <summary>How long a statement waits for a lock held by another process, such as a backup. Common practice, no source.</summary>
    private const int BusySeconds = 5;

    /// <summary>Bytes the log file keeps after a checkpoint. Common practice, no source.</summary>
    private const int LogBytesKept = 64 * 1024 * 1024;

    /// <summary>The database file.</summary>
    public string Path { get; } = System.IO.Path.GetFullPath(path);

    private string ConnectionString => new SqliteConnectionStringBuilder
    {
        DataSource = Path,
        Mode = SqliteOpenMode.ReadWriteCreate,
        Pooling = false,
        ForeignKeys = true,
        DefaultTimeout = BusySeconds,
    }.ToString();

    /// <summary>Brings the file up to date: each script of Storage/Migrations/Sqlite once, in the order of their names, each in a transaction.</summary>
    /// <exception cref="InvalidOperationException">A script failed; it was rolled back, those before it stay.</exception>
    public void Migrate()
    {
        Directory.CreateDirectory(System.IO.Path.GetDirectoryName(Path)!);
        using (OpenWriter()) { }
        var result = DeployChanges.To.SqliteDatabase(ConnectionString)
            .WithScriptsEmbeddedInAssembly(typeof(StudioStore).Assembly, name => name.Contains(".Migrations.Sqlite.", StringComparison.Ordinal))
            .WithTransactionPerScript()
            .WithVariablesDisabled()
            .LogTo(new NoOpUpgradeLog())
            .Build()
            .PerformUpgrade();
        if (!result.Successful)
            throw new InvalidOperationException($"Migration {result.ErrorScript?.Name} of {Path} failed and was rolled back.", result.Error);
    }

    /// <summary>The connection that writes. One a node: the writer holds it.</summary>
    public SqliteConnection OpenWriter() => OpenPrepared($"""
        PRAGMA journal_mode = WAL;
        PRAGMA synchronous = FULL;
        PRAGMA journal_size_limit = {LogBytesKept};
        """);

    /// <summary>A connection that refuses to write. <see cref="StudioReads"/> keeps a few of them.</summary>
    public SqliteConnection OpenReader() => OpenPrepared("PRAGMA query_only = ON;");

    internal PreparedConnection OpenPrepared(string pragmas)
    {
        var connection = new PreparedConnection(ConnectionString);
        try
        {
            connection.Open();
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
