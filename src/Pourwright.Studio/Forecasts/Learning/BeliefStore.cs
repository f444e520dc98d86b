using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Forecasts.Learning;

/// <summary>A row of `resin_beliefs`.</summary>
public sealed record BeliefRecord
{
    public required string ResinSystem { get; init; }

    /// <summary>From 1.</summary>
    public required int Revision { get; init; }

    public required long LearnMs { get; init; }

    /// <summary>JSON, see <see cref="DrawsJson"/>.</summary>
    public required string Draws { get; init; }
}

/// <summary>A row of `observations_learned`.</summary>
/// <param name="Source">Name of a check or a step.</param>
/// <param name="Lots">Resource names, joined by '+'.</param>
public sealed record LearnedObservation(string Source, string Piece, string ResinSystem, string Lots, long LearnMs);

/// <summary>Lots poured together, and how many pieces and observations taught of them.</summary>
public sealed record LearnedLots(string Lots, long PieceCount, long ObservationCount);

/// <summary>SQL of what checks taught.</summary>
public static class BeliefStore
{
    /// <summary>Null before the first lesson.</summary>
    public static BeliefRecord? Find(StudioSession session, string resinSystem) => session.Find<BeliefRecord>(
        "SELECT resin_system, revision, learn_ms, draws FROM resin_beliefs WHERE resin_system = @resinSystem", new { resinSystem });

    /// <summary>0 before the first lesson.</summary>
    public static int Revision(StudioSession session, string resinSystem) => session.Scalar<int>(
        "SELECT coalesce(max(revision), 0) FROM resin_beliefs WHERE resin_system = @resinSystem", new { resinSystem });

    public static bool IsLearned(StudioSession session, string source) => session.Scalar<long>(
        "SELECT EXISTS (SELECT 1 FROM observations_learned WHERE source = @source)", new { source }) == 1;

    public static void Save(StudioTransaction tx, BeliefRecord belief, LearnedObservation observation)
    {
        tx.Execute(
            """
            INSERT INTO resin_beliefs (resin_system, revision, learn_ms, draws) VALUES (@ResinSystem, @Revision, @LearnMs, @Draws)
            ON CONFLICT (resin_system) DO UPDATE SET revision = excluded.revision, learn_ms = excluded.learn_ms, draws = excluded.draws
            """,
            belief);
        tx.Execute(
            """
            INSERT INTO observations_learned (source, piece, resin_system, lots, learn_ms)
            VALUES (@Source, @Piece, @ResinSystem, @Lots, @LearnMs)
            """,
            observation);
    }

    /// <summary>Lots that something was learned of, those last learned of first.</summary>
    public static IReadOnlyList<LearnedLots> Lots(StudioSession session, string resinSystem) => session.Query<LearnedLots>(
        """
        SELECT lots, count(DISTINCT piece) AS piece_count, count(*) AS observation_count
          FROM observations_learned WHERE resin_system = @resinSystem GROUP BY lots ORDER BY max(learn_ms) DESC, lots
        """,
        new { resinSystem });

    /// <summary>The lots of part A and B in a mix, by name.</summary>
    public static IReadOnlyList<string> LotsOf(StudioSession session, string mix) =>
    [
        .. Studio.Lots.LotStore.Draws(session, mix).Where(draw => draw.Part != V1.Part.Pigment)
            .SelectMany(draw => Studio.Lots.LotStore.LotsIn(session, draw.Container, draw.Sequence)).Select(lot => lot.Name)
            .Distinct().Order(StringComparer.Ordinal),
    ];

    /// <summary>Of these pieces, those that are poured and in the house.</summary>
    public static IReadOnlySet<string> StillCuring(StudioSession session, IReadOnlyCollection<string> pieces) =>
        session.Query<string>("SELECT name FROM pieces WHERE state IN (2, 3) AND name IN @pieces", new { pieces }).ToHashSet();
}
