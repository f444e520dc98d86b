using System.Text;
using Dapper;
using Microsoft.Data.Sqlite;
using Pourwright.Evidence.Sealing;

namespace Pourwright.Studio.Storage.Chain;

/// <summary>Puts every row of evidence into its chain, in the write that records it.</summary>
/// <remarks>
/// Triggers hand over each new row, whichever statement wrote it, so that no store can forget to. They live on the writer's connection
/// alone: what another program puts into the file gets no link, and that shows. Others refuse to change or delete evidence.
/// PostgreSQL would do both with lasting triggers.
/// </remarks>
internal sealed class EvidenceChain
{
    private const string Function = "take_evidence";

    /// <summary>Rows of a series that were recorded before there were chains share a link, as many as a request may bring.</summary>
    private const int AdoptedTogether = 1000;

    private readonly PreparedConnection _connection;
    private readonly SqliteCommand _append;
    private readonly Dictionary<string, Head> _heads = [];
    private readonly List<Taken> _taken = [];

    public EvidenceChain(PreparedConnection connection)
    {
        _connection = connection;
        _append = connection.CreateCommand();
        _append.CommandText =
            """
            INSERT INTO chain_rows (site, position, record_table, record_key, column_count, link)
            VALUES (@chain, @position, @table, @key, @columns, @link)
            """;
        foreach (var name in new[] { "@chain", "@position", "@table", "@key", "@columns", "@link" }) _append.Parameters.Add(new(name, null));
        connection.CreateFunction<long>(Function, Take);
        foreach (var (index, table) in EvidenceTable.All.Index()) Watch(index, table);
    }

    /// <summary>A commit begins: another process may have moved the heads since the last one, and that one may have failed.</summary>
    public void Begin()
    {
        _heads.Clear();
        _taken.Clear();
    }

    /// <summary>Whether the write at hand has recorded anything.</summary>
    public bool HasTaken => _taken.Count > 0;

    /// <summary>Nothing of the write at hand is kept.</summary>
    public void Drop() => _taken.Clear();

    /// <summary>Gives a link to all that the write at hand has recorded.</summary>
    public void Link()
    {
        // Heads move only once all links stand: a link that fails is rolled back with its write.
        Dictionary<string, Head> moved = [];
        foreach (var taken in _taken.Where(taken => taken.Table.Series is null)) Append(moved, taken.Chain, taken.Table, [taken.Row]);
        foreach (var series in _taken.Where(taken => taken.Table.Series is not null).GroupBy(taken => (taken.Chain, taken.Table, Key: taken.Table.KeyOf(taken.Row))))
            Append(moved, series.Key.Chain, series.Key.Table, [.. series.Select(taken => taken.Row).OrderBy(series.Key.Table.SeriesOf)]);
        foreach (var (chain, head) in moved) _heads[chain] = head;
        _taken.Clear();
    }

    /// <summary>Gives links, once for each table, to what was recorded before there were chains.</summary>
    public void AdoptEarlierRows(long nowMs)
    {
        if (EvidenceTable.All.All(IsAdopted)) return;
        _connection.Run("BEGIN IMMEDIATE");
        try
        {
            Begin();
            foreach (var table in EvidenceTable.All.Where(table => !IsAdopted(table))) Adopt(table, nowMs);
            _connection.Run("COMMIT");
        }
        catch
        {
            _connection.Run("ROLLBACK");
            throw;
        }
    }

    private void Watch(int index, EvidenceTable table)
    {
        var columns = string.Join(", ", table.Columns.Select(column => $"new.{column}"));
        _connection.Run($"""
            CREATE TEMP TRIGGER take_{table.Name} AFTER INSERT ON main.{table.Name} BEGIN
                SELECT {Function}({index}, {table.Chain}, {columns});
            END
            """);
        _connection.Run($"""
            CREATE TEMP TRIGGER keep_{table.Name} BEFORE UPDATE OF {string.Join(", ", table.Columns)} ON main.{table.Name} BEGIN
                SELECT RAISE(ABORT, '{table.Name} is evidence: what was recorded stays; record what is true instead');
            END
            """);
        _connection.Run($"""
            CREATE TEMP TRIGGER hold_{table.Name} BEFORE DELETE ON main.{table.Name} BEGIN
                SELECT RAISE(ABORT, '{table.Name} is evidence: no row of it is deleted');
            END
            """);
    }

    private long Take(object?[] row)
    {
        var table = EvidenceTable.All[(int)(long)row[0]!];
        if (row[1] is not string chain) throw new InvalidOperationException($"A new row of {table.Name} belongs to no site: its chain is not found.");
        _taken.Add(new(table, chain, row[2..]));
        return 0;
    }

    private void Append(Dictionary<string, Head> moved, string chain, EvidenceTable table, IReadOnlyList<object?[]> rows)
    {
        var head = moved.TryGetValue(chain, out var known) || _heads.TryGetValue(chain, out known) ? known : LastOf(chain);
        var link = SiteChain.Link(head.Link, EvidenceRows.Canonical(table, rows));
        SetParameters(chain, head.RowCount, table.Name, table.NameOf(rows), table.Columns.Count, link.Hex);
        _append.ExecuteNonQuery();
        moved[chain] = new(head.RowCount + 1, link);
    }

    private void SetParameters(params ReadOnlySpan<object> values)
    {
        for (var index = 0; index < values.Length; index++) _append.Parameters[index].Value = values[index];
    }

    private Head LastOf(string chain)
    {
        const string sql = "SELECT position + 1, link FROM chain_rows WHERE site = @chain ORDER BY position DESC LIMIT 1";
        _connection.Expect(sql);
        var (count, link) = _connection.QueryFirstOrDefault<(long, string?)>(sql, new { chain });
        return new(count, link is null ? SiteChain.Start(chain) : Reached(link));
    }

    /// <summary>A damaged link must not keep people from recording: the chain goes on from whatever stands there, and a check tells of it.</summary>
    internal static Digest Reached(string link)
    {
        try
        {
            return Digest.FromHex(link);
        }
        catch (FormatException)
        {
            return Digest.Of(Encoding.UTF8.GetBytes(link));
        }
    }

    private bool IsAdopted(EvidenceTable table) => Counts("SELECT count(*) FROM chain_adopted WHERE record_table = @Name", table);

    /// <summary>A table that has links already is only marked: whoever takes the mark away gets no row adopted that was put in since.</summary>
    private void Adopt(EvidenceTable table, long nowMs)
    {
        var adopted = 0;
        if (!Counts("SELECT count(*) FROM chain_rows WHERE record_table = @Name", table))
        {
            foreach (var rows in EarlierRows(table).Chunk(AdoptedTogether))
            {
                _taken.AddRange(rows);
                Link();
                adopted += rows.Length;
            }
        }
        Execute("INSERT INTO chain_adopted (record_table, adopt_ms, row_count) VALUES (@Name, @nowMs, @adopted)", new { table.Name, nowMs, adopted });
    }

    private IEnumerable<Taken> EarlierRows(EvidenceTable table) => table.LoadAll(new AdoptingSession(_connection), table.Columns)
        .Where(row => row[0] is string).Select(row => new Taken(table, (string)row[0]!, row[1..]));

    private bool Counts(string sql, EvidenceTable table)
    {
        _connection.Expect(sql);
        return _connection.ExecuteScalar<long>(sql, new { table.Name }) > 0;
    }

    private void Execute(string sql, object args)
    {
        _connection.Expect(sql);
        _connection.Execute(sql, args);
    }

    private sealed record Head(long RowCount, Digest Link);

    private sealed record Taken(EvidenceTable Table, string Chain, object?[] Row);

    private sealed class AdoptingSession(PreparedConnection connection) : StudioSession(connection);
}
