using System.Data.Common;
using System.Globalization;
using Microsoft.Data.Sqlite;
using Npgsql;
using Pourwright.Studio.Storage.Postgres;
using Pourwright.Studio.Storage.Sqlite;

namespace Pourwright.Studio.Storage.Copying;

/// <summary>One end of a copy: a connection of its own, with what the two stores say differently.</summary>
internal abstract class CopyEnd : IDisposable
{
    /// <summary>Tables that hold no records: which scripts have run, and where SQLite counts.</summary>
    private static readonly string[] NoRecords = ["schemaversions", "sqlite_sequence"];

    protected abstract DbConnection Connection { get; }

    protected abstract string TablesSql { get; }

    /// <param name="table">A name as <see cref="TablesSql"/> gives it.</param>
    protected abstract string KeySql(string table);

    public static CopyEnd Of(StudioStore store) => store switch
    {
        SqliteStore file => new SqliteEnd(file),
        PostgresStore server => new PostgresEnd(server),
        _ => throw new ArgumentException($"A {store.GetType().Name} cannot be copied."),
    };

    /// <summary>One consistent view, which refuses to write.</summary>
    public abstract void BeginReading();

    /// <summary>One transaction that checks no references until it ends.</summary>
    public abstract void BeginWriting();

    /// <summary>Adds rows whose values stand in the order of the table's columns; returns how many.</summary>
    public abstract long Write(StoredTable table, IEnumerable<object[]> rows);

    /// <summary>The last number given in a table that numbers its rows; null where it gave none, or numbers none.</summary>
    public abstract long? LastNumber(StoredTable table);

    public abstract void GoOnFrom(StoredTable table, long lastNumber);

    /// <summary>Checks all references and commits.</summary>
    /// <exception cref="InvalidOperationException">A row refers to one that is not there; nothing is kept.</exception>
    public abstract void EndWriting();

    /// <summary>The scripts that have run here, by name.</summary>
    public IReadOnlyList<string> Scripts() =>
    [
        .. Texts("SELECT ScriptName FROM SchemaVersions").Select(name => name[(name.IndexOf(".Migrations.", StringComparison.Ordinal) + ".Migrations.".Length)..])
            .Select(name => name[(name.IndexOf('.', StringComparison.Ordinal) + 1)..]).Order(StringComparer.Ordinal),
    ];

    /// <summary>Every table that holds records, by name.</summary>
    public IReadOnlyList<StoredTable> Tables() =>
        [.. Texts(TablesSql).Where(name => !NoRecords.Contains(name, StringComparer.OrdinalIgnoreCase)).Order(StringComparer.Ordinal).Select(Table)];

    /// <summary>All rows of a table in its order; one array of values each, integers as long.</summary>
    public IEnumerable<object[]> Read(StoredTable table) => Rows(table.Select);

    public long Count(string table) => (long)Rows($"SELECT count(*) FROM \"{table}\"").Single()[0];

    public void Clear(string table) => Run($"DELETE FROM \"{table}\"");

    public void Dispose() => Connection.Dispose();

    protected IEnumerable<object[]> Rows(string sql)
    {
        using var command = Unhurried(sql);
        using var reader = command.ExecuteReader();
        while (reader.Read())
        {
            var values = new object[reader.FieldCount];
            reader.GetValues(values);
            yield return values;
        }
    }

    protected IReadOnlyList<string> Texts(string sql) => [.. Rows(sql).Select(row => Convert.ToString(row[0], CultureInfo.InvariantCulture)!)];

    protected void Run(string sql)
    {
        using var command = Unhurried(sql);
        command.ExecuteNonQuery();
    }

    /// <summary>Without a limit of time: a table may be large.</summary>
    private DbCommand Unhurried(string sql)
    {
        var command = Connection.CreateCommand();
        (command.CommandText, command.CommandTimeout) = (sql, 0);
        return command;
    }

    private StoredTable Table(string name)
    {
        using var command = Unhurried($"SELECT * FROM \"{name}\" LIMIT 0");
        string[] columns;
        using (var reader = command.ExecuteReader())
            columns = [.. Enumerable.Range(0, reader.FieldCount).Select(reader.GetName).Order(StringComparer.Ordinal)];
        var key = Texts(KeySql(name));
        return new(name, columns, key.Count > 0 ? key : columns);
    }
}

/// <summary>A SQLite file as an end of a copy.</summary>
internal sealed class SqliteEnd(SqliteStore store) : CopyEnd
{
    private readonly SqliteConnection _connection = store.OpenWriter();

    protected override DbConnection Connection => _connection;

    protected override string TablesSql => "SELECT name FROM sqlite_schema WHERE type = 'table'";

    protected override string KeySql(string table) => $"SELECT name FROM pragma_table_info('{table}') WHERE pk > 0 ORDER BY pk";

    public override void BeginReading()
    {
        Run("PRAGMA query_only = ON");
        Run("BEGIN DEFERRED");
    }

    public override void BeginWriting()
    {
        Run("PRAGMA foreign_keys = OFF");
        Run("BEGIN IMMEDIATE");
    }

    public override long Write(StoredTable table, IEnumerable<object[]> rows)
    {
        using var insert = _connection.CreateCommand();
        insert.CommandText = $"INSERT INTO \"{table.Name}\" ({StoredTable.Quoted(table.Columns)}) VALUES ({string.Join(", ", table.Columns.Select((_, i) => $"@p{i}"))})";
        var parameters = table.Columns.Select((_, i) => insert.Parameters.AddWithValue($"@p{i}", DBNull.Value)).ToList();
        long count = 0;
        foreach (var row in rows)
        {
            for (var i = 0; i < row.Length; i++) parameters[i].Value = row[i];
            insert.ExecuteNonQuery();
            count++;
        }
        return count;
    }

    public override long? LastNumber(StoredTable table) =>
        Rows($"SELECT seq FROM sqlite_sequence WHERE name = '{table.Name}' AND seq > 0").SingleOrDefault() is [long last] ? last : null;

    public override void GoOnFrom(StoredTable table, long lastNumber)
    {
        Run($"DELETE FROM sqlite_sequence WHERE name = '{table.Name}'");
        Run($"INSERT INTO sqlite_sequence (name, seq) VALUES ('{table.Name}', {lastNumber})");
    }

    public override void EndWriting()
    {
        if (Texts("PRAGMA foreign_key_check") is [var table, ..])
            throw new InvalidOperationException($"A row of {table} refers to one that is not there. Nothing was copied.");
        Run("COMMIT");
        Run("PRAGMA wal_checkpoint(TRUNCATE)");
    }
}

/// <summary>A PostgreSQL database as an end of a copy.</summary>
internal sealed class PostgresEnd : CopyEnd
{
    private const string References =
        """
        SELECT conrelid::regclass::text, conname, pg_get_constraintdef(oid) FROM pg_constraint
         WHERE contype = 'f' AND connamespace = 'public'::regnamespace
        """;

    private readonly NpgsqlConnection _connection;
    private List<object[]> _references = [];

    public PostgresEnd(PostgresStore store)
    {
        _connection = store.Connect();
        _connection.Open();
    }

    protected override DbConnection Connection => _connection;

    protected override string TablesSql => "SELECT table_name FROM information_schema.tables WHERE table_schema = 'public' AND table_type = 'BASE TABLE'";

    protected override string KeySql(string table) =>
        $"""
        SELECT c.attname FROM pg_constraint k JOIN pg_attribute c ON c.attrelid = k.conrelid AND c.attnum = ANY (k.conkey)
         WHERE k.contype = 'p' AND k.conrelid = '"{table}"'::regclass ORDER BY array_position(k.conkey, c.attnum)
        """;

    public override void BeginReading() => Run("BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY");

    /// <summary>References are taken away and put back at the end, in the same transaction: the server then checks each over all rows.</summary>
    public override void BeginWriting()
    {
        Run("BEGIN");
        Run($"SELECT pg_advisory_xact_lock({PostgresConnection.CommitLock})");
        _references = [.. Rows(References)];
        foreach (var reference in _references) Run($"ALTER TABLE {reference[0]} DROP CONSTRAINT \"{reference[1]}\"");
    }

    public override long Write(StoredTable table, IEnumerable<object[]> rows)
    {
        using var import = _connection.BeginBinaryImport($"COPY \"{table.Name}\" ({StoredTable.Quoted(table.Columns)}) FROM STDIN (FORMAT BINARY)");
        foreach (var row in rows)
        {
            import.StartRow();
            foreach (var value in row)
                if (value is DBNull) import.WriteNull();
                else import.Write(value);
        }
        return (long)import.Complete();
    }

    public override long? LastNumber(StoredTable table) =>
        Sequence(table) is { } sequence && Rows($"SELECT last_value, is_called FROM {sequence}").Single() is [long last, true] ? last : null;

    public override void GoOnFrom(StoredTable table, long lastNumber) => Run($"SELECT setval('{Sequence(table)}', {lastNumber})");

    public override void EndWriting()
    {
        try
        {
            foreach (var reference in _references) Run($"ALTER TABLE {reference[0]} ADD CONSTRAINT \"{reference[1]}\" {reference[2]}");
            Run("COMMIT");
        }
        catch (PostgresException e) when (e.SqlState == PostgresErrorCodes.ForeignKeyViolation)
        {
            throw new InvalidOperationException($"{e.MessageText}: {e.Detail} Nothing was copied.", e);
        }
    }

    private string? Sequence(StoredTable table) => Texts(
        $"""
        SELECT pg_get_serial_sequence('"{table.Name}"', column_name) FROM information_schema.columns
         WHERE table_schema = 'public' AND table_name = '{table.Name}' AND is_identity = 'YES'
        """) is [var sequence] ? sequence : null;
}
