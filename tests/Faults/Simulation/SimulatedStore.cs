using System.Data;
using System.Diagnostics.CodeAnalysis;
using Pourwright.Studio.Storage;
using Pourwright.Studio.Storage.Chain;
using Pourwright.Studio.Storage.Sqlite;

namespace Pourwright.Faults.Simulation;

/// <summary>A real SQLite file behind points where faults strike; migrated already.</summary>
internal sealed class SimulatedStore(string path, SimulatedNode node) : StudioStore
{
    private readonly SqliteStore _file = new(path);

    public override string Place => _file.Place;

    internal override int IdleReadersMost => _file.IdleReadersMost;

    public override void Migrate() { }

    internal override IStudioConnection ConnectWriter() => new SimulatedConnection(_file.ConnectWriter(), node);

    internal override IStudioConnection ConnectReader() => new SimulatedConnection(_file.ConnectReader(), node);
}

/// <summary>A connection that may be struck, and through which a planted bug works.</summary>
internal sealed class SimulatedConnection(IStudioConnection inner, SimulatedNode node) : IStudioConnection
{
    private PlantedBug Bug => node.World.Bug;

    public IDbConnection Expecting(string sql, bool mayWait = false)
    {
        RequireLife();
        var spoiled = Bug.Sql(sql);
        return spoiled == sql ? inner.Expecting(sql, mayWait) : new SpoiledConnection(inner.Expecting(spoiled, mayWait), Bug);
    }

    public IEnumerable<T> Stream<T>(string sql, object? args) => inner.Stream<T>(Bug.Sql(sql), args);

    public IEnumerable<object?[]> Stream(string sql, object? args) => inner.Stream(Bug.Sql(sql), args);

    public void BeginView()
    {
        node.World.Reach(node, Point.View);
        inner.BeginView();
    }

    public void EndView() => inner.EndView();

    public void BeginCommit()
    {
        node.World.Reach(node, Point.Begin);
        inner.BeginCommit();
    }

    public void BeginWrite() => inner.BeginWrite();

    public void Watch(IReadOnlyList<EvidenceTable> tables) => inner.Watch(tables);

    public IReadOnlyList<object?[]> Complete() => Bug.Recorded(inner.Complete());

    public void KeepWrite()
    {
        RequireLife();
        inner.KeepWrite();
    }

    public void UndoWrite()
    {
        RequireLife();
        if (Bug.KeepsFailedWrites) inner.KeepWrite();
        else inner.UndoWrite();
    }

    public void Commit()
    {
        try
        {
            node.World.Reach(node, Point.Commit);
            inner.Commit();
        }
        catch (Microsoft.Data.Sqlite.SqliteException) when (Bug.HidesFailedCommits)
        {
            inner.RollBack();
        }
        node.World.Reach(node, Point.Committed);
    }

    public void RollBack()
    {
        RequireLife();
        inner.RollBack();
    }

    public void Finish() => inner.Finish();

    public void Dispose() => inner.Dispose();

    private void RequireLife()
    {
        if (node.IsDead) throw new NodeDiedException();
    }
}

/// <summary>Gives commands whose text a planted bug has changed.</summary>
internal sealed class SpoiledConnection(IDbConnection inner, PlantedBug bug) : IDbConnection
{
    [AllowNull]
    public string ConnectionString { get => inner.ConnectionString; set => inner.ConnectionString = value; }

    public int ConnectionTimeout => inner.ConnectionTimeout;

    public string Database => inner.Database;

    public ConnectionState State => inner.State;

    public IDbTransaction BeginTransaction() => inner.BeginTransaction();

    public IDbTransaction BeginTransaction(IsolationLevel il) => inner.BeginTransaction(il);

    public void ChangeDatabase(string databaseName) => inner.ChangeDatabase(databaseName);

    public void Close() => inner.Close();

    public IDbCommand CreateCommand() => new SpoiledCommand(inner.CreateCommand(), bug);

    public void Open() => inner.Open();

    public void Dispose() { }

    private sealed class SpoiledCommand(IDbCommand command, PlantedBug bug) : IDbCommand
    {
        [AllowNull]
        public string CommandText { get => command.CommandText; set => command.CommandText = bug.Sql(value!); }

        public int CommandTimeout { get => command.CommandTimeout; set => command.CommandTimeout = value; }

        public CommandType CommandType { get => command.CommandType; set => command.CommandType = value; }

        public IDbConnection? Connection { get => command.Connection; set => command.Connection = value; }

        public IDataParameterCollection Parameters => command.Parameters;

        public IDbTransaction? Transaction { get => command.Transaction; set => command.Transaction = value; }

        public UpdateRowSource UpdatedRowSource { get => command.UpdatedRowSource; set => command.UpdatedRowSource = value; }

        public void Cancel() => command.Cancel();

        public IDbDataParameter CreateParameter() => command.CreateParameter();

        public int ExecuteNonQuery() => command.ExecuteNonQuery();

        public IDataReader ExecuteReader() => command.ExecuteReader();

        public IDataReader ExecuteReader(CommandBehavior behavior) => command.ExecuteReader(behavior);

        public object? ExecuteScalar() => command.ExecuteScalar();

        public void Prepare() => command.Prepare();

        public void Dispose() => command.Dispose();
    }
}
