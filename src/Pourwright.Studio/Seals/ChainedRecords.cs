using Pourwright.Studio.Storage.Chain;

namespace Pourwright.Studio.Seals;

/// <summary>Which records have a link, each once. Some 100 bytes a record, 20 a reading.</summary>
public sealed class ChainedRecords
{
    private readonly HashSet<(string Table, string Key)> _single = [];
    private readonly Dictionary<string, HashSet<long>> _series = [];

    public long Count { get; private set; }

    /// <summary>Takes the rows of a link; false where one of them was taken before.</summary>
    public bool Add(EvidenceTable table, IReadOnlyList<object?[]> rows)
    {
        Count += rows.Count;
        if (table.Series is null) return _single.Add((table.Name, table.KeyOf(rows[0])));
        var series = SeriesOf(table, rows[0]);
        return rows.Count(row => series.Add(table.SeriesOf(row))) == rows.Count;
    }

    public bool Contains(EvidenceTable table, object?[] row) => table.Series is null
        ? _single.Contains((table.Name, table.KeyOf(row)))
        : row[table.Key.Count] is long && SeriesOf(table, row).Contains(table.SeriesOf(row));

    private HashSet<long> SeriesOf(EvidenceTable table, object?[] row)
    {
        var name = $"{table.Name} {table.KeyOf(row)}";
        return _series.TryGetValue(name, out var series) ? series : _series[name] = [];
    }
}
