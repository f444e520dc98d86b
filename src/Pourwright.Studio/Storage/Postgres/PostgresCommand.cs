using System.Data;
using System.Data.Common;
using Npgsql;
using NpgsqlTypes;

namespace Pourwright.Studio.Storage.Postgres;

/// <summary>A statement as Dapper fills it, which goes to the server when its connection sends it. A truth goes as 0 or 1, as the columns keep it.</summary>
internal sealed class PostgresCommand(PostgresConnection connection, bool mayWait) : FilledCommand(connection)
{
    private readonly NpgsqlCommand _filled = new();

    protected override DbParameterCollection DbParameterCollection => _filled.Parameters;

    public override int ExecuteNonQuery() => connection.Execute(TakeStatement(), mayWait);

    public override object? ExecuteScalar()
    {
        using var reader = connection.Read(TakeStatement());
        return reader.Read() ? reader.GetValue(0) : null;
    }

    protected override DbParameter CreateDbParameter() => new NpgsqlParameter();

    protected override DbDataReader ExecuteDbDataReader(CommandBehavior behavior) => connection.Read(TakeStatement());

    protected override void Dispose(bool disposing)
    {
        if (disposing) _filled.Dispose();
        base.Dispose(disposing);
    }

    /// <summary>The statement with the parameters as they are now; Dapper fills the command anew for the next element of a list.</summary>
    private NpgsqlBatchCommand TakeStatement()
    {
        var statement = new NpgsqlBatchCommand(CommandText);
        NpgsqlParameter[] parameters = [.. _filled.Parameters.Cast<NpgsqlParameter>()];
        _filled.Parameters.Clear();
        foreach (var parameter in parameters) statement.Parameters.Add(ForColumns(parameter));
        return statement;
    }

    private static NpgsqlParameter ForColumns(NpgsqlParameter parameter)
    {
        if (parameter.Value is bool truth) parameter.Value = truth ? 1L : 0L;
        if (parameter.DbType == DbType.Boolean) parameter.NpgsqlDbType = NpgsqlDbType.Bigint;
        return parameter;
    }
}
