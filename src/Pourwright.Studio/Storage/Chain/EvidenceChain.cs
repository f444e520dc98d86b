using System.Text;
using Dapper;
using Pourwright.Evidence.Sealing;

namespace Pourwright.Studio.Storage.Chain;

/// <summary>Puts every row of evidence into its chain, in the write that records it.</summary>
/// <remarks>
/// Triggers hand over each new row, whichever statement wrote it, so that no store can forget to. They work for the writer alone:
/// what another program puts into the store gets no link, and that shows. Others refuse to change or delete evidence.
/// </remarks>
internal sealed class EvidenceChain
{
    /// <summary>Rows of a series that were recorded before there were chains share a link, as many as a request may bring.</summary>
    private const int AdoptedTogether = 1000;

    /// <summary>Links that one statement writes at most: those of a mix, and twice as many.</summary>
    private const int LinksTogether = 8;

    private static readonly string[] LinkColumns = ["site", "position", "record_table", "record_key", "column_count", "link"];

    private static readonly string[] LinkParameters = [.. Enumerable.Range(0, LinksTogether).SelectMany(row => LinkColumns.Select(column => $"{column}{row}"))];

    /// <summary>The statement for one link, for two, and so on.</summary>
    private static readonly string[] InsertLinks = [.. Enumerable.Range(1, LinksTogether).Select(rows =>
        $"INSERT INTO chain_rows ({string.Join(", ", LinkColumns)}) VALUES {string.Join(", ", Enumerable.Range(0, rows).Select(row => $"({string.Join(", ", LinkColumns.Select(column => $"@{column}{row}"))})"))}")];

    private readonly IStudioConnection _connection;
    private readonly Dictionary<string, Head> _heads = [];

    public EvidenceChain(IStudioConnection connection)
    {
        _connection = connection;
        connection.Watch(EvidenceTable.All);
    }

    /// <summary>A commit begins: another process may have moved the heads since the last one, and that one may have failed.</summary>
    public void Begin() => _heads.Clear();

    /// <summary>Gives a link to all that the write at hand has recorded, as <see cref="IStudioConnection.Complete"/> gives it.</summary>
    public void Link(IReadOnlyList<object?[]> recorded) => Link([.. recorded.Select(Taken.Of)]);

    /// <summary>Gives links, once for each table, to what was recorded before there were chains.</summary>
    public static void AdoptEarlierRows(StudioStore store, long nowMs)
    {
        using var connection = store.ConnectWriter();
        var chain = new EvidenceChain(connection);
        connection.BeginCommit();
        try
        {
            connection.BeginWrite();
            foreach (var table in EvidenceTable.All.Where(table => !chain.IsAdopted(table))) chain.Adopt(store, table, nowMs);
            connection.Complete();
            connection.KeepWrite();
            connection.Commit();
        }
        catch
        {
            connection.RollBack();
            throw;
        }
    }

    private void Link(List<Taken> recorded)
    {
        // Heads move only once all links stand: a link that fails is rolled back with its write.
        Dictionary<string, Head> moved = [];
        List<object[]> links = [];
        foreach (var taken in recorded.Where(taken => taken.Table.Series is null)) links.Add(Append(moved, taken.Chain, taken.Table, [taken.Row]));
        foreach (var series in recorded.Where(taken => taken.Table.Series is not null).GroupBy(taken => (taken.Chain, taken.Table, Key: taken.Table.KeyOf(taken.Row))))
            links.Add(Append(moved, series.Key.Chain, series.Key.Table, [.. series.Select(taken => taken.Row).OrderBy(series.Key.Table.SeriesOf)]));
        foreach (var some in links.Chunk(LinksTogether)) Insert(some);
        foreach (var (chain, head) in moved) _heads[chain] = head;
    }

    /// <summary>The next link of a chain, as a row of <see cref="LinkColumns"/>.</summary>
    private object[] Append(Dictionary<string, Head> moved, string chain, EvidenceTable table, IReadOnlyList<object?[]> rows)
    {
        var head = moved.TryGetValue(chain, out var known) || _heads.TryGetValue(chain, out known) ? known : LastOf(chain);
        var link = SiteChain.Link(head.Link, EvidenceRows.Canonical(table, rows));
        moved[chain] = new(head.RowCount + 1, link);
        return [chain, head.RowCount, table.Name, table.NameOf(rows), (long)table.Columns.Count, link.Hex];
    }

    /// <summary>Without Dapper: a row of evidence costs little more than this statement.</summary>
    private void Insert(object[][] links)
    {
        var sql = InsertLinks[links.Length - 1];
        using var command = _connection.Expecting(sql, mayWait: true).CreateCommand();
        command.CommandText = sql;
        foreach (var (index, value) in links.SelectMany(link => link).Index())
        {
            var parameter = command.CreateParameter();
            (parameter.ParameterName, parameter.Value) = (LinkParameters[index], value);
            command.Parameters.Add(parameter);
        }
        command.ExecuteNonQuery();
    }

    private Head LastOf(string chain)
    {
        const string sql = "SELECT position + 1, link FROM chain_rows WHERE site = @chain ORDER BY position DESC LIMIT 1";
        var (count, link) = _connection.Expecting(sql).QueryFirstOrDefault<(long, string?)>(sql, new { chain });
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
    private void Adopt(StudioStore store, EvidenceTable table, long nowMs)
    {
        var adopted = 0;
        if (!Counts("SELECT count(*) FROM chain_rows WHERE record_table = @Name", table))
        {
            // Nobody else writes meanwhile, so a view of its own shows the same rows and leaves this connection free for their links.
            using var reads = new StudioReads(store);
            using var earlier = reads.Open();
            foreach (var rows in EarlierRows(earlier, table).Chunk(AdoptedTogether))
            {
                Link([.. rows]);
                adopted += rows.Length;
            }
        }
        Execute("INSERT INTO chain_adopted (record_table, adopt_ms, row_count) VALUES (@Name, @nowMs, @adopted)", new { table.Name, nowMs, adopted });
    }

    private static IEnumerable<Taken> EarlierRows(StudioSession session, EvidenceTable table) => table.LoadAll(session, table.Columns)
        .Where(row => row[0] is string).Select(row => new Taken(table, (string)row[0]!, row[1..]));

    private bool Counts(string sql, EvidenceTable table) => _connection.Expecting(sql).ExecuteScalar<long>(sql, new { table.Name }) > 0;

    private void Execute(string sql, object args) => _connection.Expecting(sql, mayWait: true).Execute(sql, args);

    private sealed record Head(long RowCount, Digest Link);

    private sealed record Taken(EvidenceTable Table, string Chain, object?[] Row)
    {
        public static Taken Of(object?[] recorded)
        {
            var table = EvidenceTable.All[(int)(long)recorded[0]!];
            if (recorded[1] is not string chain) throw new InvalidOperationException($"A new row of {table.Name} belongs to no site: its chain is not found.");
            return new(table, chain, recorded[2..]);
        }
    }
}
