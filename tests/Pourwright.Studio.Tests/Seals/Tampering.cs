using Microsoft.Data.Sqlite;
using Pourwright.Evidence.Sealing;
using Pourwright.Studio.Storage.Chain;

namespace Pourwright.Studio.Tests.Seals;

/// <summary>What somebody with the file and SQL may do to it; each kind drawn from a seed.</summary>
public sealed class Tampering : IDisposable
{
    private readonly SqliteConnection _file;
    private readonly Random _random;

    public Tampering(string path, int seed)
    {
        _file = new($"Data Source={path};Pooling=False;Foreign Keys=False");
        _file.Open();
        _random = new(seed);
        // Neither a check nor an index holds up who edits the file.
        Run("PRAGMA ignore_check_constraints = ON; PRAGMA synchronous = OFF; DROP INDEX container_events_corrected;");
    }

    /// <summary>What it did, and whether links were computed anew, so that only a seal can tell.</summary>
    public (string What, bool IsRelinked) Apply() => _random.Next(9) switch
    {
        0 or 1 => (Edit(), false),
        2 => (DeleteRow(), false),
        3 => (Insert(), false),
        4 => (SwapRows(), false),
        5 => (EditLink(), false),
        6 => (CutTail(), true),
        7 => (Relinked(Edit), true),
        _ => (DeleteWithLink(), true),
    };

    public void Dispose() => _file.Dispose();

    /// <summary>Another value of the same kind in one listed column.</summary>
    private string Edit()
    {
        var table = AnyTable();
        var column = table.Columns[_random.Next(table.Columns.Count)];
        while (true)
        {
            var (where, was) = (AnyRow(table), "");
            was = Text($"SELECT quote({column}) FROM {table.Name} WHERE {where}");
            var kind = Text($"SELECT typeof({column}) FROM {table.Name} WHERE {where}");
            var value = kind switch
            {
                "integer" => $"{column} + {_random.Next(1, 1000)}",
                "real" => $"{column} + {_random.Next(1, 1000)} / 64.0",
                "text" => $"{column} || '{(char)('a' + _random.Next(26))}'",
                _ => _random.Next(2) == 0 ? "7" : "''",
            };
            // A row whose new key is taken cannot be written: another one is chosen.
            if (TryRun($"UPDATE {table.Name} SET {column} = {value} WHERE {where}")) return $"{table.Name}.{column} was {was}";
        }
    }

    private string DeleteRow()
    {
        var table = AnyTable();
        var where = AnyRow(table);
        Run($"DELETE FROM {table.Name} WHERE {where}");
        return $"{table.Name} without {where}";
    }

    private string Insert()
    {
        var table = AnyTable();
        var all = table.Columns.Concat(table.Others).ToList();
        var last = table.SortColumns.Last();
        var fresh = Text($"SELECT typeof({last}) FROM {table.Name} LIMIT 1") == "integer" ? $"(SELECT max({last}) + 1 + {_random.Next(9)} FROM {table.Name})" : $"{last} || '-more'";
        Run($"INSERT INTO {table.Name} ({string.Join(", ", all)}) SELECT {string.Join(", ", all.Select(column => column == last ? fresh : column))} FROM {table.Name} WHERE {AnyRow(table)}");
        return $"one more in {table.Name}";
    }

    /// <summary>Two rows keep their keys and exchange all else.</summary>
    private string SwapRows()
    {
        while (true)
        {
            var table = AnyTable();
            var body = table.Columns.Except(table.SortColumns).ToList();
            var (one, other) = (AnyRow(table), AnyRow(table));
            var (first, second) = (Values(table, body, one), Values(table, body, other));
            if (first.SequenceEqual(second)) continue;
            Run($"UPDATE {table.Name} SET {string.Join(", ", body.Zip(second, (column, value) => $"{column} = {value}"))} WHERE {one}");
            Run($"UPDATE {table.Name} SET {string.Join(", ", body.Zip(first, (column, value) => $"{column} = {value}"))} WHERE {other}");
            return $"{table.Name}: {one} for {other}";
        }
    }

    private string EditLink()
    {
        var (site, position) = AnyLink();
        var set = _random.Next(6) switch
        {
            0 => "link = replace(link, substr(link, 7, 1), CASE substr(link, 7, 1) WHEN '0' THEN '1' ELSE '0' END)",
            1 => "link = 'none'",
            2 => "record_key = record_key || '0'",
            3 => "record_table = CASE record_table WHEN 'mixes' THEN 'pieces' ELSE 'mixes' END",
            4 => "column_count = column_count - 1",
            _ => "position = position + 1000000",
        };
        Run($"UPDATE chain_rows SET {set} WHERE site = '{site}' AND position = {position}");
        return $"{site} {position}: {set}";
    }

    /// <summary>The last rows of a site are taken away with their links.</summary>
    private string CutTail()
    {
        var (site, position) = AnyLink();
        var last = long.Parse(Text($"SELECT max(position) FROM chain_rows WHERE site = '{site}'"));
        foreach (var at in Enumerable.Range(0, (int)(last - position + 1)).Select(index => last - index)) DeleteRecord(site, at);
        Run($"DELETE FROM chain_rows WHERE site = '{site}' AND position >= {position}");
        SealAnew();
        return $"{site} from {position}";
    }

    private string DeleteWithLink()
    {
        var (site, position) = AnyLink();
        DeleteRecord(site, position);
        Run($"DELETE FROM chain_rows WHERE site = '{site}' AND position = {position}");
        Relink();
        return $"{site} without {position}, all links anew";
    }

    private string Relinked(Func<string> tamper)
    {
        var what = tamper();
        Relink();
        return $"{what}, all links anew";
    }

    /// <summary>As the node would have chained what is there now, and sealed it.</summary>
    private void Relink()
    {
        var links = Rows("SELECT site, record_table, record_key FROM chain_rows ORDER BY site, position");
        Run("BEGIN; DELETE FROM chain_rows;");
        foreach (var chain in links.GroupBy(link => (string)link[0])) Chain(chain.Key, chain);
        SealAnew();
        Run("COMMIT");
    }

    private void Chain(string site, IEnumerable<object[]> links)
    {
        ChainRow? last = null;
        foreach (var link in links)
        {
            var table = EvidenceTable.Find((string)link[1])!;
            var rows = RowsOf(table, (string)link[2]);
            if (rows.Count == 0) continue;
            last = SiteChain.Next(site, last, EvidenceRows.Canonical(table, rows));
            Run($"INSERT INTO chain_rows VALUES ('{site}', {last.Position}, '{table.Name}', '{table.NameOf(rows)}', {table.Columns.Count}, '{last.Link}')");
        }
    }

    /// <summary>Every head and root as if the chains had been like this when they were sealed.</summary>
    private void SealAnew()
    {
        List<SealedHead> heads = [];
        foreach (var head in Rows("SELECT site, row_count, seal_ms FROM sealed_heads ORDER BY position"))
        {
            var links = Rows($"SELECT link FROM chain_rows WHERE site = '{head[0]}' ORDER BY position LIMIT {head[1]}");
            var link = links.Count == 0 ? SiteChain.Start((string)head[0]) : Digest.FromHex((string)links[^1][0]);
            Run($"UPDATE sealed_heads SET link = '{link}', row_count = {links.Count} WHERE position = {heads.Count}");
            heads.Add(new((string)head[0], links.Count, link, DateTimeOffset.FromUnixTimeMilliseconds((long)head[2])));
        }
        foreach (var seal in Rows("SELECT name, head_count FROM seals"))
            Run($"UPDATE seals SET root = '{Seal.RootOf(heads.Take((int)(long)seal[1]))}' WHERE name = '{seal[0]}'");
    }

    private List<object[]> RowsOf(EvidenceTable table, string name) => table.Series is not null
        ? SeriesRows(table, name)
        : Rows($"SELECT {string.Join(", ", table.Columns.Select(column => table.Covered(column, "")))} FROM {table.Name} WHERE {string.Join(" || '@' || ", table.Key)} = '{name}'");

    private List<object[]> SeriesRows(EvidenceTable table, string name)
    {
        var (key, runs) = (name[..name.LastIndexOf('@')], SeriesRuns.Read(name[(name.LastIndexOf('@') + 1)..]));
        return Rows($"SELECT {string.Join(", ", table.Columns)} FROM {table.Name} WHERE {table.Key[0]} = '{key}' AND {table.Series} IN ({string.Join(", ", runs)}) ORDER BY {table.Series}");
    }

    private void DeleteRecord(string site, long position)
    {
        var link = Rows($"SELECT record_table, record_key FROM chain_rows WHERE site = '{site}' AND position = {position}")[0];
        var table = EvidenceTable.Find((string)link[0])!;
        var name = (string)link[1];
        Run(table.Series is null
            ? $"DELETE FROM {table.Name} WHERE {string.Join(" || '@' || ", table.Key)} = '{name}'"
            : $"DELETE FROM {table.Name} WHERE {table.Key[0]} = '{name[..name.LastIndexOf('@')]}' AND {table.Series} IN ({string.Join(", ", SeriesRuns.Read(name[(name.LastIndexOf('@') + 1)..]))})");
    }

    private EvidenceTable AnyTable() => EvidenceTable.All[_random.Next(EvidenceTable.All.Count)];

    private string AnyRow(EvidenceTable table)
    {
        var keys = table.SortColumns.ToList();
        var count = long.Parse(Text($"SELECT count(*) FROM {table.Name}"));
        var row = Rows($"SELECT {string.Join(", ", keys.Select(key => $"quote({key})"))} FROM {table.Name} LIMIT 1 OFFSET {_random.NextInt64(count)}")[0];
        return string.Join(" AND ", keys.Zip(row, (key, value) => $"{key} = {value}"));
    }

    private (string Site, long Position) AnyLink()
    {
        var count = long.Parse(Text("SELECT count(*) FROM chain_rows"));
        var row = Rows($"SELECT site, position FROM chain_rows LIMIT 1 OFFSET {_random.NextInt64(count)}")[0];
        return ((string)row[0], (long)row[1]);
    }

    private List<string> Values(EvidenceTable table, IEnumerable<string> columns, string where) =>
        [.. Rows($"SELECT {string.Join(", ", columns.Select(column => $"quote({column})"))} FROM {table.Name} WHERE {where}")[0].Select(value => (string)value)];

    private bool TryRun(string sql)
    {
        try
        {
            Run(sql);
            return true;
        }
        catch (SqliteException e) when (e.SqliteErrorCode == 19)
        {
            return false;
        }
    }

    private void Run(string sql)
    {
        using var command = _file.CreateCommand();
        command.CommandText = sql;
        command.ExecuteNonQuery();
    }

    private string Text(string sql) => Convert.ToString(Rows(sql)[0][0], System.Globalization.CultureInfo.InvariantCulture)!;

    private List<object[]> Rows(string sql)
    {
        using var command = _file.CreateCommand();
        command.CommandText = sql;
        using var reader = command.ExecuteReader();
        List<object[]> rows = [];
        while (reader.Read())
        {
            var row = new object[reader.FieldCount];
            reader.GetValues(row);
            rows.Add(row);
        }
        return rows;
    }
}
