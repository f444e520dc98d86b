using System.Data.Common;
using System.Globalization;
using System.Security.Cryptography;
using System.Text;
using System.Text.Json;
using Npgsql;
using Pourwright.Studio.Storage.Chain;

namespace Pourwright.Studio.Storage.Postgres;

/// <summary>New rows of evidence handed over by triggers of the database to the connection that recorded them.</summary>
/// <remarks>
/// A connection that asks for it (<see cref="BeginSql"/>) has a table of its own, gone with it, into which the triggers put what it
/// records; a savepoint that is rolled back takes them back. For every other connection they do nothing: what it inserts gets no link.
/// To change or delete evidence is refused to all but the owner of the tables, who may take the triggers away.
/// </remarks>
internal sealed class PostgresEvidence(IReadOnlyList<EvidenceTable> tables)
{
    /// <summary>Begins to hand over to this connection.</summary>
    public const string BeginSql =
        """
        CREATE TEMP TABLE IF NOT EXISTS recorded_evidence (number BIGINT GENERATED ALWAYS AS IDENTITY, record_table TEXT NOT NULL, chain TEXT, record JSON NOT NULL);
        SET pourwright.records_evidence = 'on'
        """;

    /// <summary>What was handed over, in the order in which it was recorded; it is not given twice.</summary>
    public const string TakeSql =
        """
        WITH taken AS (DELETE FROM pg_temp.recorded_evidence RETURNING number, record_table, chain, record)
        SELECT record_table, chain, record::text FROM taken ORDER BY number
        """;

    private readonly Dictionary<string, (int Place, EvidenceTable Table)> _places = tables.Index().ToDictionary(each => each.Item.Name, each => (each.Index, each.Item));

    /// <summary>A row of <see cref="TakeSql"/>: the place of its table, its chain, and the columns as they were recorded.</summary>
    public object?[] Row(DbDataReader reader)
    {
        var (place, table) = _places[reader.GetString(0)];
        using var record = JsonDocument.Parse(reader.GetString(2));
        return
        [
            (long)place, reader.IsDBNull(1) ? DBNull.Value : reader.GetString(1),
            .. record.RootElement.EnumerateArray().Take(table.Columns.Count).Select(Value),
        ];
    }

    /// <summary>Makes the triggers, or makes them anew where a column was added. Called while nobody else writes.</summary>
    public void MakeTriggers(NpgsqlConnection connection)
    {
        var triggers = string.Join(";\n", tables.Select(Triggers));
        var made = Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(triggers)));
        using var find = new NpgsqlCommand("SELECT obj_description('refuse_evidence()'::regprocedure, 'pg_proc')", connection);
        if (find.ExecuteScalar() as string == made) return;
        using var make = new NpgsqlCommand($"{triggers};\nCOMMENT ON FUNCTION refuse_evidence() IS '{made}'", connection);
        make.ExecuteNonQuery();
    }

    // A real number goes as an array of its text, so that it is not taken for a whole one.
    private static object? Value(JsonElement value) => value.ValueKind switch
    {
        JsonValueKind.Null => DBNull.Value,
        JsonValueKind.Number => value.GetInt64(),
        JsonValueKind.Array => double.Parse(value[0].GetString()!, CultureInfo.InvariantCulture),
        _ => value.GetString(),
    };

    private static string Triggers(EvidenceTable table) =>
        $"""
        CREATE OR REPLACE FUNCTION take_{table.Name}() RETURNS trigger LANGUAGE plpgsql AS $take$
        BEGIN
            IF current_setting('pourwright.records_evidence', true) = 'on' THEN
                INSERT INTO pg_temp.recorded_evidence (record_table, chain, record)
                VALUES ('{table.Name}', {table.Chain}, json_build_array({string.Join(", ", table.Columns.Select(column => $"evidence_value({table.Covered(column, "new.")})"))}));
            END IF;
            RETURN NULL;
        END $take$;
        CREATE OR REPLACE TRIGGER take_{table.Name} AFTER INSERT ON {table.Name} FOR EACH ROW EXECUTE FUNCTION take_{table.Name}();
        CREATE OR REPLACE TRIGGER keep_{table.Name} BEFORE UPDATE OF {string.Join(", ", table.Kept)} ON {table.Name}
            FOR EACH ROW EXECUTE FUNCTION refuse_evidence('what was recorded stays; record what is true instead');
        CREATE OR REPLACE TRIGGER hold_{table.Name} BEFORE DELETE ON {table.Name}
            FOR EACH ROW EXECUTE FUNCTION refuse_evidence('no row of it is deleted')
        {string.Concat(table.Sealed.Select(column => $"""
        ;
        CREATE OR REPLACE TRIGGER keep_{table.Name}_{column} BEFORE UPDATE OF {column} ON {table.Name}
            FOR EACH ROW WHEN (old.{column}_seal IS NULL) EXECUTE FUNCTION refuse_evidence('what was recorded before there were seals stays')
        """))}
        """;
}
