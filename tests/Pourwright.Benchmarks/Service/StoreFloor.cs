using System.Runtime.InteropServices;
using Microsoft.Data.Sqlite;
using Microsoft.Win32.SafeHandles;

namespace Pourwright.Benchmarks.Service;

/// <summary>What the disk and SQLite take without any service: a block appended and flushed, and the rows of mixes written by bare statements, 64 mixes a commit.</summary>
internal sealed partial class StoreFloor : IDisposable
{
    private const int BlockBytes = 4096, MixesACommit = 64;

    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("pourwright-floor-");
    private readonly SafeFileHandle _file;
    private readonly byte[] _block = new byte[BlockBytes];
    private readonly SqliteConnection _connection;
    private readonly List<SqliteCommand> _statements;
    private long _at;
    private long _mixes;

    public StoreFloor()
    {
        _file = File.OpenHandle(Path.Combine(_folder.FullName, "blocks"), FileMode.CreateNew, FileAccess.Write);
        _connection = new($"Data Source={Path.Combine(_folder.FullName, "rows.db")};Pooling=False");
        _connection.Open();
        Run(
            """
            PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL;
            CREATE TABLE answers (id TEXT PRIMARY KEY, body BLOB) WITHOUT ROWID;
            CREATE TABLE mixes (name TEXT PRIMARY KEY, site TEXT, mixer TEXT, at INTEGER) WITHOUT ROWID;
            CREATE TABLE events (sequence INTEGER PRIMARY KEY, container TEXT, mix TEXT, mass INTEGER, at INTEGER);
            CREATE INDEX events_by_container ON events (container, sequence);
            CREATE TABLE links (position INTEGER PRIMARY KEY, key TEXT, link TEXT);
            """);
        // A mix: asked whether it was answered before, written, two draws, its answer, and a link for each of three rows.
        _statements =
        [
            Prepared("SELECT body FROM answers WHERE id = @key"),
            Prepared("INSERT INTO mixes VALUES (@key, 'studios/alder/sites/north', 'Asa', @n)"),
            Prepared("INSERT INTO events (container, mix, mass, at) VALUES ('studios/alder/containers/coat-a-can', @key, -1150, @n)"),
            Prepared("INSERT INTO events (container, mix, mass, at) VALUES ('studios/alder/containers/coat-b-can', @key, -480, @n)"),
            Prepared("INSERT INTO answers VALUES (@key, zeroblob(300))"),
            .. Enumerable.Repeat("INSERT INTO links (key, link) VALUES (@key, hex(zeroblob(32)))", 3).Select(Prepared),
        ];
    }

    /// <summary>Appends 4 KiB and flushes it (fdatasync).</summary>
    public void Flush()
    {
        RandomAccess.Write(_file, _block, _at);
        _at += BlockBytes;
        if (fdatasync(_file) != 0) throw new IOException($"fdatasync failed: {Marshal.GetLastPInvokeError()}.");
    }

    /// <summary>Mixes a second, written for so long.</summary>
    public double MixesPerSecond(double seconds) => MixesACommit * Load.Measure(seconds, Commit).PerSecond;

    public void Dispose()
    {
        foreach (var statement in _statements) statement.Dispose();
        _connection.Dispose();
        _file.Dispose();
        _folder.Delete(recursive: true);
    }

    [LibraryImport("libc", SetLastError = true)]
    private static partial int fdatasync(SafeFileHandle file);

    private void Commit()
    {
        Run("BEGIN IMMEDIATE");
        for (var mix = 0; mix < MixesACommit; mix++) Write($"studios/alder/mixes/{_mixes++:x16}");
        Run("COMMIT");
    }

    private void Write(string key)
    {
        foreach (var statement in _statements)
        {
            statement.Parameters[0].Value = key;
            statement.Parameters[1].Value = _mixes;
            statement.ExecuteScalar();
        }
    }

    private SqliteCommand Prepared(string sql)
    {
        var statement = _connection.CreateCommand();
        statement.CommandText = sql;
        statement.Parameters.AddWithValue("@key", "");
        statement.Parameters.AddWithValue("@n", 0L);
        return statement;
    }

    private void Run(string sql)
    {
        using var command = _connection.CreateCommand();
        command.CommandText = sql;
        command.ExecuteNonQuery();
    }
}
