using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Climate;

/// <summary>SQL of outlooks.</summary>
public static class OutlookStore
{
    /// <summary>What is said of a bench; null where nothing ever was.</summary>
    public static OutlookRecord? Find(StudioSession session, string bench) => session.Find<OutlookRecord>(
        "SELECT bench, kind, points, set_ms FROM bench_outlooks WHERE bench = @bench", new { bench });

    /// <summary>Takes the place of what was said before.</summary>
    public static void Replace(StudioTransaction tx, OutlookRecord outlook) => tx.Execute(
        """
        INSERT INTO bench_outlooks (bench, kind, points, set_ms) VALUES (@Bench, @Kind, @Points, @SetMs)
            ON CONFLICT (bench) DO UPDATE SET kind = excluded.kind, points = excluded.points, set_ms = excluded.set_ms
        """, outlook);

    /// <summary>Marks a bench whose pieces are forecast again, where there are any.</summary>
    public static void TouchBench(StudioTransaction tx, string bench, long dueMs) => tx.Execute(
        """
        INSERT INTO benches_touched (bench, due_ms)
        SELECT DISTINCT bench, @dueMs FROM pieces WHERE state IN (2, 3) AND bench = @bench
            ON CONFLICT (bench) DO UPDATE SET due_ms = excluded.due_ms WHERE excluded.due_ms < benches_touched.due_ms
        """, new { bench, dueMs });
}
