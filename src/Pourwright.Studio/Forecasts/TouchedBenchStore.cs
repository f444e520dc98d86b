using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Forecasts;

/// <summary>A bench claimed until an instant, in Unix ms.</summary>
public sealed record BenchClaim(string Bench, long DueMs);

/// <summary>SQL of the benches whose pieces are to be forecast again.</summary>
public static class TouchedBenchStore
{
    /// <summary>Takes due benches by setting their due time to the end of the claim.</summary>
    public static IReadOnlyList<BenchClaim> Claim(StudioTransaction tx, DateTimeOffset until, int limit) => tx.Query<BenchClaim>(
        """
        UPDATE benches_touched SET due_ms = @untilMs
         WHERE bench IN (SELECT bench FROM benches_touched WHERE due_ms <= @nowMs ORDER BY due_ms LIMIT @limit)
        RETURNING bench, due_ms
        """, new { untilMs = until.ToUnixMs(), nowMs = tx.Now.ToUnixMs(), limit });

    /// <summary>Drops a bench that is done, unless it was touched since its claim, or a touch could not be seen any more.</summary>
    /// <param name="delay">How long after a reading its bench is due: from the claim's end less this on, a touch would not show.</param>
    public static void Drop(StudioTransaction tx, BenchClaim claim, TimeSpan delay) => tx.Execute(
        "DELETE FROM benches_touched WHERE bench = @Bench AND due_ms = @DueMs AND @latestMs < @DueMs",
        new { claim.Bench, claim.DueMs, latestMs = (tx.Now + delay).ToUnixMs() });

    /// <summary>Lets all benches be forecast on which pieces of a resin system cure. One that is due sooner stays so; one in work comes due again.</summary>
    public static void TouchResin(StudioTransaction tx, string resinSystem, long dueMs) => tx.Execute(
        """
        INSERT INTO benches_touched (bench, due_ms)
        SELECT DISTINCT pieces.bench, @dueMs
          FROM pieces JOIN current_pours pours ON pours.piece = pieces.name JOIN mixes ON mixes.name = pours.mix
         WHERE pieces.state IN (2, 3) AND pieces.bench IS NOT NULL AND mixes.resin_system = @resinSystem
            ON CONFLICT (bench) DO UPDATE SET due_ms = excluded.due_ms WHERE excluded.due_ms < benches_touched.due_ms
        """,
        new { resinSystem, dueMs });

    /// <summary>Names of the poured pieces on a bench, in their moulds or out: a demolded piece goes on curing.</summary>
    public static IReadOnlyList<string> GetCuringPieces(StudioSession session, string bench) =>
        session.Query<string>("SELECT name FROM pieces WHERE state IN (2, 3) AND bench = @bench ORDER BY name", new { bench });
}
