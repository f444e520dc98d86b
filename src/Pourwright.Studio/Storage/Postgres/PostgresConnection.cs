using System.Data;
using System.Data.Common;
using System.Diagnostics.CodeAnalysis;
using System.Security.Cryptography;
using System.Text;
using Dapper;
using Npgsql;
using Pourwright.Studio.Storage.Chain;

namespace Pourwright.Studio.Storage.Postgres;

/// <summary>A PostgreSQL connection that sends what may wait together with the next statement that is asked for an answer. Used by one thread at a time.</summary>
/// <remarks>
/// The way to the server and back is what a statement costs, so beginnings, savepoints and statements whose count nobody asks for
/// travel with the next one. Statements are prepared by their text.
/// A commit holds one advisory lock of the database from its first statement to its end. It runs READ COMMITTED: each statement sees
/// what was committed when it began, so after the lock all that other nodes have written. REPEATABLE READ would see the database as it was
/// before the wait.
/// </remarks>
internal sealed class PostgresConnection(NpgsqlConnection inner, string node) : DbConnection, IStudioConnection
{
    /// <summary>What commits wait for, one after the other; arbitrary.</summary>
    public const long CommitLock = 0x706F_7572_0001;

    /// <summary>Where a commit is told of.</summary>
    public const string Channel = "pourwright_commits";

    private const int FetchedTogether = 1000;

    private readonly List<NpgsqlBatchCommand> _waiting = [];
    private readonly string _notify = $"NOTIFY {Channel}, '{node}'";
    private PostgresEvidence? _evidence;
    private NpgsqlBatch? _sent;
    private readonly HashSet<string> _streams = [];

    /// <summary>Something of the present view has gone to the server.</summary>
    private bool _isSent;
    private bool _mayWait;

    /// <summary>Where in the waiting list the present write begins; negative once that has gone to the server.</summary>
    private int _writeBegins;

    /// <summary>A statement of the present write has failed: the server takes no other until it is undone.</summary>
    private bool _hasFailed;

    public IDbConnection Expecting(string sql, bool mayWait = false)
    {
        _mayWait = mayWait;
        return this;
    }

    public void BeginView()
    {
        (_isSent, _hasFailed) = (false, false);
        Later("BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY");
    }

    public void EndView()
    {
        var isBegun = _isSent && inner.State == ConnectionState.Open;
        _waiting.Clear();
        if (isBegun) Send(new("COMMIT"));
    }

    public void BeginCommit()
    {
        if (inner.State != ConnectionState.Open)
        {
            inner.Close();
            inner.Open();
            WatchAgain();
        }
        Later("BEGIN ISOLATION LEVEL READ COMMITTED READ WRITE");
        Send(new($"SELECT pg_advisory_xact_lock({CommitLock})"));
    }

    public void BeginWrite()
    {
        (_writeBegins, _hasFailed) = (_waiting.Count, false);
        Later("SAVEPOINT alone");
    }

    /// <summary>The database's own triggers hand over what this connection records; <see cref="PostgresEvidence"/> made them.</summary>
    public void Watch(IReadOnlyList<EvidenceTable> tables)
    {
        _evidence = new(tables);
        if (inner.State == ConnectionState.Open) WatchAgain();
    }

    public IReadOnlyList<object?[]> Complete()
    {
        if (_hasFailed) throw new InvalidOperationException("A statement failed and the write went on. Let its error pass, so that the write is undone.");
        // A savepoint alone may go with what comes next.
        if (_writeBegins >= 0 && _waiting.Count <= _writeBegins + 1) return [];
        if (_evidence is not { } evidence)
        {
            if (_waiting.Count > 0) SendWaiting();
            return [];
        }
        using var rows = Read(new(PostgresEvidence.TakeSql));
        List<object?[]> recorded = [];
        while (rows.Read()) recorded.Add(evidence.Row(rows));
        return recorded;
    }

    public IEnumerable<T> Stream<T>(string sql, object? args) => Stream(sql, args, fetch => Expecting(fetch).Query<T>(fetch).AsList());

    public IEnumerable<object?[]> Stream(string sql, object? args) => Stream(sql, args, Fetch);

    /// <summary>By a cursor, which leaves the connection free between two helpings.</summary>
    private IEnumerable<T> Stream<T>(string sql, object? args, Func<string, List<T>> fetch)
    {
        var cursor = FreeCursor(sql);
        var declare = $"DECLARE {cursor} NO SCROLL CURSOR FOR {sql}";
        Expecting(declare, mayWait: true).Execute(declare, args);
        try
        {
            for (var helping = FetchedTogether; helping == FetchedTogether;)
            {
                var rows = fetch($"FETCH {FetchedTogether} FROM {cursor}");
                helping = rows.Count;
                foreach (var row in rows) yield return row;
            }
        }
        finally
        {
            _streams.Remove(cursor);
            if (!_hasFailed) Later($"CLOSE {cursor}");
        }
    }

    /// <summary>A name that only this text ever has: the server's connection, shared by one view after another, prepares a FETCH by its text and keeps the columns of its first cursor.</summary>
    private string FreeCursor(string sql)
    {
        var text = Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(sql)))[..16];
        return Enumerable.Range(1, _streams.Count + 1).Select(number => $"stream_{text}_{number}").First(_streams.Add);
    }

    public void KeepWrite()
    {
        if (_writeBegins < 0) Later("RELEASE alone");
        else Drop();
    }

    public void UndoWrite()
    {
        if (_writeBegins >= 0)
        {
            Drop();
            return;
        }
        _waiting.Clear();
        Later("ROLLBACK TO alone");
        Send(new("RELEASE alone"));
    }

    public void Commit()
    {
        Later(_notify);
        Send(new("COMMIT"));
    }

    /// <summary>Whatever state the connection is in: it is closed, the server rolls back, and the next commit opens it anew.</summary>
    public void RollBack()
    {
        _waiting.Clear();
        inner.Close();
    }

    public void Finish() { }

    /// <summary>Runs what waits and then a statement; returns how many rows that changed. Where it may wait itself, nothing runs.</summary>
    public int Execute(NpgsqlBatchCommand statement, bool mayWait)
    {
        if (!mayWait) return Send(statement);
        _waiting.Add(statement);
        return 0;
    }

    /// <summary>Runs what waits and then a statement, and reads its rows.</summary>
    public DbDataReader Read(NpgsqlBatchCommand statement)
    {
        var batch = Take(statement);
        return Watch(() => batch.ExecuteReader());
    }

    protected override DbCommand CreateDbCommand()
    {
        var command = new PostgresCommand(this, _mayWait);
        _mayWait = false;
        return command;
    }

    private List<object?[]> Fetch(string sql)
    {
        using var reader = Read(new(sql));
        List<object?[]> rows = [];
        while (reader.Read())
        {
            var row = new object?[reader.FieldCount];
            reader.GetValues(row!);
            rows.Add(row);
        }
        return rows;
    }

    private void WatchAgain()
    {
        if (_evidence is null) return;
        using var command = new NpgsqlCommand(PostgresEvidence.BeginSql, inner);
        command.ExecuteNonQuery();
    }

    private void Later(string sql) => _waiting.Add(new(sql));

    private void Drop() => _waiting.RemoveRange(_writeBegins, _waiting.Count - _writeBegins);

    private void SendWaiting()
    {
        var last = _waiting[^1];
        _waiting.RemoveAt(_waiting.Count - 1);
        Send(last);
    }

    private int Send(NpgsqlBatchCommand statement)
    {
        var batch = Take(statement);
        Watch(batch.ExecuteNonQuery);
        return statement.RecordsAffected;
    }

    private NpgsqlBatch Take(NpgsqlBatchCommand statement)
    {
        // The reader of the one before has been read by now: only one is open at a time.
        _sent?.Dispose();
        _sent = inner.CreateBatch();
        foreach (var waiting in _waiting) _sent.BatchCommands.Add(waiting);
        _sent.BatchCommands.Add(statement);
        _waiting.Clear();
        (_writeBegins, _isSent) = (-1, true);
        return _sent;
    }

    private T Watch<T>(Func<T> run)
    {
        try
        {
            return run();
        }
        catch
        {
            _hasFailed = true;
            throw;
        }
    }

    protected override void Dispose(bool disposing)
    {
        if (disposing)
        {
            _sent?.Dispose();
            inner.Dispose();
        }
        base.Dispose(disposing);
    }

    [AllowNull]
    public override string ConnectionString
    {
        get => inner.ConnectionString;
        set => throw new NotSupportedException("The store chooses it.");
    }

    public override string Database => inner.Database;

    public override string DataSource => inner.DataSource;

    public override string ServerVersion => inner.ServerVersion;

    public override ConnectionState State => inner.State;

    public override void Open() => inner.Open();

    public override void Close() => inner.Close();

    public override void ChangeDatabase(string databaseName) => throw new NotSupportedException("A store is one database.");

    protected override DbTransaction BeginDbTransaction(IsolationLevel isolationLevel) =>
        throw new NotSupportedException("Views and commits are begun by name.");
}
