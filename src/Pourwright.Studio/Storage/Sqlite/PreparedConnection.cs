using System.Data;
using System.Data.Common;
using Dapper;
using Microsoft.Data.Sqlite;
using Pourwright.Studio.Storage.Chain;

namespace Pourwright.Studio.Storage.Sqlite;

/// <summary>A SQLite connection that keeps the prepared statements of the texts it has run. Used by one thread at a time.</summary>
/// <remarks>
/// Dapper makes a command, names its text afterwards and disposes it at the end, which would compile every statement anew.
/// The caller says beforehand which text comes (<see cref="Expecting"/>) and is given a <see cref="KeptCommand"/>; disposing it puts it back instead.
/// A text that Dapper expands (`IN @ids`) is kept under the text as written, and compiled anew when its list differs.
/// </remarks>
internal sealed class PreparedConnection(string connectionString) : SqliteConnection(connectionString), IStudioConnection
{
    /// <summary>Far above the number of statements in this code; a guard against a text built at run time.</summary>
    private const int KeptMax = 512;

    private const string TakeRow = "take_evidence";

    private readonly Dictionary<string, KeptCommand> _kept = new(new ByLengthAndEnd());
    private readonly List<object?[]> _recorded = [];
    private string? _expected;
    private LogFolder? _folder;
    private bool _closing;

    public IDbConnection Expecting(string sql, bool mayWait = false)
    {
        _expected = sql;
        return this;
    }

    public void BeginView() => Run("BEGIN DEFERRED");

    public void EndView() => Run("COMMIT");

    /// <summary>From now on commits of this connection leave it to another one to fold the log.</summary>
    public void FoldBeside(Func<SqliteConnection> open)
    {
        Run("PRAGMA wal_autocheckpoint = 0");
        _folder = new(open);
    }

    public void BeginCommit()
    {
        _folder?.ThrowIfFailed();
        _recorded.Clear();
        Run("BEGIN IMMEDIATE");
    }

    public void BeginWrite() => Run("SAVEPOINT alone");

    /// <summary>Triggers of this connection alone: an edit of the file by another program gets no link, and that shows.</summary>
    public void Watch(IReadOnlyList<EvidenceTable> tables)
    {
        CreateFunction<long>(TakeRow, row =>
        {
            _recorded.Add(row);
            return 0;
        });
        foreach (var (index, table) in tables.Index()) Watch(index, table);
    }

    public IReadOnlyList<object?[]> Complete()
    {
        if (_recorded.Count == 0) return [];
        object?[][] recorded = [.. _recorded];
        _recorded.Clear();
        return recorded;
    }

    public IEnumerable<T> Stream<T>(string sql, object? args)
    {
        foreach (var row in Expecting(sql).Query<T>(sql, args, buffered: false)) yield return row;
    }

    public IEnumerable<object?[]> Stream(string sql, object? args)
    {
        using var rows = Expecting(sql).ExecuteReader(sql, args);
        while (rows.Read())
        {
            var row = new object?[rows.FieldCount];
            rows.GetValues(row!);
            yield return row;
        }
    }

    public void KeepWrite() => Run("RELEASE alone");

    public void UndoWrite()
    {
        _recorded.Clear();
        Run("ROLLBACK TO alone");
        Run("RELEASE alone");
    }

    public void Commit()
    {
        Run("COMMIT");
        if (_folder?.Committed(Handle!) == true) Run("PRAGMA wal_checkpoint(PASSIVE)");
    }

    public void RollBack()
    {
        // SQLite has rolled back by itself after some errors, and then refuses to do it again.
        if (SQLitePCL.raw.sqlite3_get_autocommit(Handle) == 0) Run("ROLLBACK");
    }

    /// <summary>Folds the log into the file.</summary>
    public void Finish()
    {
        _folder?.Dispose();
        _folder = null;
        Run("PRAGMA wal_checkpoint(TRUNCATE)");
    }

    private void Watch(int index, EvidenceTable table)
    {
        var columns = string.Join(", ", table.Columns.Select(column => table.Covered(column, "new.")));
        Run($"""
            CREATE TEMP TRIGGER take_{table.Name} AFTER INSERT ON main.{table.Name} BEGIN
                SELECT {TakeRow}({index}, {table.Chain}, {columns});
            END
            """);
        Run($"""
            CREATE TEMP TRIGGER keep_{table.Name} BEFORE UPDATE OF {string.Join(", ", table.Kept)} ON main.{table.Name} BEGIN
                SELECT RAISE(ABORT, '{table.Name} is evidence: what was recorded stays; record what is true instead');
            END
            """);
        foreach (var column in table.Sealed)
            Run($"""
                CREATE TEMP TRIGGER keep_{table.Name}_{column} BEFORE UPDATE OF {column} ON main.{table.Name} WHEN old.{column}_seal IS NULL BEGIN
                    SELECT RAISE(ABORT, '{table.Name} is evidence: what was recorded before there were seals stays');
                END
                """);
        Run($"""
            CREATE TEMP TRIGGER hold_{table.Name} BEFORE DELETE ON main.{table.Name} BEGIN
                SELECT RAISE(ABORT, '{table.Name} is evidence: no row of it is deleted');
            END
            """);
    }

    private void Run(string sql)
    {
        _expected = sql;
        using var command = CreateDbCommand();
        command.ExecuteNonQuery();
    }

    protected override DbCommand CreateDbCommand()
    {
        if (_expected is not { } sql) return base.CreateDbCommand();
        _expected = null;
        if (_kept.TryGetValue(sql, out var kept) && !kept.IsBusy) return Lend(kept);
        var made = new KeptCommand(this, sql);
        if (kept is null && _kept.Count < KeptMax) _kept.Add(sql, made);
        return Lend(made);
    }

    public override void Close()
    {
        _closing = true;
        _folder?.Dispose();
        foreach (var command in _kept.Values) command.Dispose();
        _kept.Clear();
        base.Close();
    }

    /// <summary>A command is done with; false where it is not kept.</summary>
    public bool TakeBack(KeptCommand command)
    {
        if (_closing || !_kept.TryGetValue(command.Sql, out var kept) || kept != command) return false;
        command.IsBusy = false;
        return true;
    }

    private static KeptCommand Lend(KeptCommand command)
    {
        command.IsBusy = true;
        return command;
    }

    /// <summary>Texts of statements are long and mostly the same object: to hash all of one costs as much as to run some.</summary>
    private sealed class ByLengthAndEnd : IEqualityComparer<string>
    {
        private const int Letters = 16;

        public bool Equals(string? x, string? y) => string.Equals(x, y, StringComparison.Ordinal);

        public int GetHashCode(string text) => HashCode.Combine(text.Length, string.GetHashCode(text.AsSpan(text.Length / 2, Math.Min(Letters, text.Length / 2))), string.GetHashCode(text.AsSpan(Math.Max(0, text.Length - Letters))));
    }
}
