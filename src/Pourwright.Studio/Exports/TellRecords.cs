using Pourwright.Evidence.Epcis;

namespace Pourwright.Studio.Exports;

/// <summary>Puts what is told in the order of its times, without holding it.</summary>
public static class TellRecords
{
    /// <summary>Series that are each sorted by time, as one; of one instant, in the order of the series.</summary>
    public static IEnumerable<TraceRecord> Merged(params IReadOnlyList<IEnumerable<TraceRecord>> series)
    {
        var open = series.Select(records => records.GetEnumerator()).ToArray();
        try
        {
            var next = new PriorityQueue<int, (DateTimeOffset, int)>();
            for (var index = 0; index < open.Length; index++)
                Advance(index);
            while (next.TryDequeue(out var index, out _))
            {
                yield return open[index].Current;
                Advance(index);
            }

            void Advance(int index)
            {
                if (open[index].MoveNext()) next.Enqueue(index, (open[index].Current.Time, index));
            }
        }
        finally
        {
            foreach (var records in open) records.Dispose();
        }
    }

    /// <summary>Neighbours that share a key, together.</summary>
    public static IEnumerable<IReadOnlyList<T>> Neighbours<T, TKey>(IEnumerable<T> rows, Func<T, TKey> key) where TKey : notnull
    {
        List<T> together = [];
        foreach (var row in rows)
        {
            if (together.Count > 0 && !key(together[0]).Equals(key(row)))
            {
                yield return together;
                together = [];
            }
            together.Add(row);
        }
        if (together.Count > 0) yield return together;
    }
}
