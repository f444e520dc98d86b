using Microsoft.Data.Sqlite;

namespace Pourwright.Studio.Storage;

/// <summary>A SQLite connection that keeps the prepared statements of the texts it has run. Used by one thread at a time.</summary>
/// <remarks>
/// Dapper makes a command, names its text afterwards and disposes it at the end, which would compile every statement anew.
/// The caller says beforehand which text comes (<see cref="Expect"/>); disposing a command puts it back instead.
/// A text that Dapper expands (`IN @ids`) is kept under the text as written, and compiled anew when its list differs.
/// </remarks>
internal sealed class PreparedConnection(string connectionString) : SqliteConnection(connectionString)
{
    /// <summary>Far above the number of statements in this code; a guard against a text built at run time.</summary>
    private const int KeptMax = 512;

    private readonly Dictionary<string, KeptCommand> _kept = [];
    private string? _expected;
    private bool _closing;

    public void Expect(string sql) => _expected = sql;

    /// <summary>Runs a statement without parameters.</summary>
    public void Run(string sql)
    {
        Expect(sql);
        using var command = CreateCommand();
        command.CommandText = sql;
        command.ExecuteNonQuery();
    }

    public override SqliteCommand CreateCommand()
    {
        if (Interlocked.Exchange(ref _expected, null) is not { } sql) return base.CreateCommand();
        return _kept.Remove(sql, out var kept)
            ? kept
            : new KeptCommand(this, sql) { Connection = this, CommandTimeout = DefaultTimeout };
    }

    public override void Close()
    {
        _closing = true;
        foreach (var command in _kept.Values) command.Dispose();
        _kept.Clear();
        base.Close();
    }

    private bool Keep(KeptCommand command)
    {
        if (_closing || _kept.Count >= KeptMax) return false;
        command.Parameters.Clear();
        return _kept.TryAdd(command.Sql, command);
    }

    private sealed class KeptCommand(PreparedConnection owner, string sql) : SqliteCommand
    {
        public string Sql => sql;

        protected override void Dispose(bool disposing)
        {
            if (disposing && owner.Keep(this)) return;
            base.Dispose(disposing);
        }
    }
}
