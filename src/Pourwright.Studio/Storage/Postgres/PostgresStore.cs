using DbUp;
using DbUp.Engine.Output;
using Npgsql;
using Pourwright.Studio.Storage.Chain;

namespace Pourwright.Studio.Storage.Postgres;

/// <summary>A PostgreSQL database that several nodes share: every commit flushed, text ordered by its bytes as in SQLite.</summary>
public sealed class PostgresStore : StudioStore
{
    /// <summary>Statements a connection keeps prepared: above the number of statements in this code.</summary>
    private const int PreparedMost = 512;

    /// <summary>Readers of one node at a time, unless the connection string says otherwise. Common practice, no source.</summary>
    private const int ReadersMost = 20;

    /// <summary>Seconds after which a silent connection is asked whether it lives. Common practice, no source.</summary>
    private const int KeepAliveSeconds = 30;

    /// <summary>What migrating nodes wait for, one after the other; arbitrary, and other than <see cref="PostgresConnection.CommitLock"/>.</summary>
    private const long MigrationLock = 0x706F_7572_0002;

    private const string SweepSchema = "sweeps";

    private readonly NpgsqlConnectionStringBuilder _settings;
    private readonly Lazy<NpgsqlDataSource> _readers;

    /// <param name="connectionString">As Npgsql takes it: `Host=db;Database=pourwright;Username=pourwright;Password=...`.</param>
    /// <exception cref="ArgumentException">It cannot be read, or names no database.</exception>
    public PostgresStore(string connectionString)
    {
        _settings = new NpgsqlConnectionStringBuilder(connectionString);
        if (string.IsNullOrEmpty(_settings.Database))
            throw new ArgumentException("The connection string names no database. Add Database=..., one made with `createdb -T template0 -E UTF8 --locale=C pourwright`.");
        if (!_settings.ContainsKey("Maximum Pool Size")) _settings.MaxPoolSize = ReadersMost;
        if (_settings.KeepAlive == 0) _settings.KeepAlive = KeepAliveSeconds;
        _settings.MaxAutoPrepare = PreparedMost;
        _settings.AutoPrepareMinUsages = 2;
        _settings.NoResetOnClose = true;
        _settings.ApplicationName ??= "pourwright";
        // An acknowledged pour survives a power cut, whatever the database's own setting is.
        _settings.Options = $"{_settings.Options} -c synchronous_commit=on".TrimStart();
        _readers = new(() => NpgsqlDataSource.Create(_settings));
    }

    public override string Place => $"{_settings.Host}:{_settings.Port}/{_settings.Database}";

    /// <summary>Tells this node's commits and sweeps from those of others: machine, process and a random tail.</summary>
    internal string Node { get; } = $"{Environment.MachineName}-{Environment.ProcessId}-{Guid.NewGuid():N}"[..^24];

    /// <summary>Where workers keep their common plan of sweeps: tables of the scheduler's own making, which hold no records, in a schema of their own.</summary>
    internal string SweepConnection => new NpgsqlConnectionStringBuilder(_settings.ConnectionString) { SearchPath = SweepSchema }.ConnectionString;

    internal override int IdleReadersMost => 0;

    /// <summary>Nodes that start together bring it up to date one after the other.</summary>
    /// <exception cref="InvalidOperationException">A script failed, or the database orders text otherwise than by its bytes.</exception>
    public override void Migrate()
    {
        using var connection = Connect();
        connection.Open();
        RequireByteOrder(connection);
        Run(connection, $"SELECT pg_advisory_lock({MigrationLock})");
        Run(connection, $"CREATE SCHEMA IF NOT EXISTS {SweepSchema}");
        var result = DeployChanges.To.PostgresqlDatabase(Unpooled())
            .WithScriptsEmbeddedInAssembly(typeof(PostgresStore).Assembly, name => name.Contains(".Migrations.Postgres.", StringComparison.Ordinal))
            .WithTransactionPerScript()
            .WithVariablesDisabled()
            .LogTo(new NoOpUpgradeLog())
            .Build()
            .PerformUpgrade();
        if (!result.Successful)
            throw new InvalidOperationException($"Migration {result.ErrorScript?.Name} of {Place} failed and was rolled back.", result.Error);
        Run(connection, "BEGIN");
        Run(connection, $"SELECT pg_advisory_xact_lock({PostgresConnection.CommitLock})");
        new PostgresEvidence(EvidenceTable.All).MakeTriggers(connection);
        Run(connection, "COMMIT");
    }

    /// <summary>A connection of its own, closed with it; not opened yet.</summary>
    internal NpgsqlConnection Connect() => new(Unpooled());

    internal override IStudioConnection ConnectWriter() => new PostgresConnection(Connect(), Node);

    internal override IStudioConnection ConnectReader() => new PostgresConnection(_readers.Value.OpenConnection(), Node);

    protected override void Dispose(bool disposing)
    {
        if (disposing && _readers.IsValueCreated) _readers.Value.Dispose();
        base.Dispose(disposing);
    }

    private string Unpooled() => new NpgsqlConnectionStringBuilder(_settings.ConnectionString) { Pooling = false }.ConnectionString;

    // Paging goes by names in the order of their bytes, and an index ordered by a language changes with the system's libraries.
    private void RequireByteOrder(NpgsqlConnection connection)
    {
        const string sorted = "SELECT string_agg(c, '' ORDER BY c) = string_agg(c, '' ORDER BY c COLLATE \"C\") FROM (SELECT chr(n) AS c FROM generate_series(32, 400) AS n WHERE n NOT BETWEEN 127 AND 159) AS letters";
        using var command = new NpgsqlCommand(sorted, connection);
        if (command.ExecuteScalar() is not true)
            throw new InvalidOperationException($"{Place} orders text by the rules of a language. Make the database with `createdb -T template0 -E UTF8 --locale=C {_settings.Database}`.");
    }

    private static void Run(NpgsqlConnection connection, string sql)
    {
        using var command = new NpgsqlCommand(sql, connection);
        command.ExecuteNonQuery();
    }
}
