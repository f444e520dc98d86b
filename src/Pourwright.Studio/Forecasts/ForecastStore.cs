using Pourwright.Studio.Names;
using Pourwright.Studio.Pieces;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Forecasts;

/// <summary>SQL of forecasts.</summary>
public static class ForecastStore
{
    private const string ColumnsButCourse =
        """
        piece, revision, forecast_ms, cause, model_revision, pour_ms,
        gel_earliest_ms, gel_likely_ms, gel_safe_ms, demold_earliest_ms, demold_likely_ms, demold_safe_ms,
        handle_earliest_ms, handle_likely_ms, handle_safe_ms, sand_earliest_ms, sand_likely_ms, sand_safe_ms,
        peak_low_celsius, peak_likely_celsius, peak_high_celsius, peak_likely_offset_ms, runaway_margin_ratio,
        last_reading_ms, gap_ms, room_assumption, ladder, reason, statements, advice, observation_count, cautions
        """;

    /// <summary>The forecast that counts, with its course; null while there is none.</summary>
    public static ForecastRecord? Latest(StudioSession session, string piece) => session.Find<ForecastRecord>(
        $"SELECT {ColumnsButCourse}, course FROM forecasts WHERE piece = @piece ORDER BY revision DESC LIMIT 1", new { piece });

    /// <summary>The forecast that counts, without its course; null while there is none.</summary>
    public static ForecastRecord? LatestGates(StudioSession session, string piece) => session.Find<ForecastRecord>(
        $"SELECT {ColumnsButCourse} FROM forecasts WHERE piece = @piece ORDER BY revision DESC LIMIT 1", new { piece });

    /// <summary>The forecast that a person may act on, without its course: the newest one, and null where it does not know the newest pour.</summary>
    public static ForecastRecord? StandingGates(StudioSession session, string piece) => session.Find<ForecastRecord>(
        $"""
        SELECT {ColumnsButCourse} FROM forecasts
         WHERE piece = @piece AND revision = (SELECT max(revision) FROM forecasts WHERE piece = @piece)
           AND {PieceStore.KnowsEveryPour}
        """, new { piece });

    /// <summary>What was first announced, without its course; null while there is none.</summary>
    public static ForecastRecord? First(StudioSession session, string piece) => session.Find<ForecastRecord>(
        $"SELECT {ColumnsButCourse} FROM forecasts WHERE piece = @piece ORDER BY revision LIMIT 1", new { piece });

    /// <summary>One revision with its course; null where there is none.</summary>
    public static ForecastRecord? Find(StudioSession session, string piece, long revision) => session.Find<ForecastRecord>(
        $"SELECT {ColumnsButCourse}, course FROM forecasts WHERE piece = @piece AND revision = @revision", new { piece, revision });

    /// <summary>The newest revision; 0 while there is none.</summary>
    public static int LatestRevision(StudioSession session, string piece) =>
        session.Scalar<int>("SELECT coalesce(max(revision), 0) FROM forecasts WHERE piece = @piece", new { piece });

    /// <summary>Revisions without their courses, first to last.</summary>
    public static IReadOnlyList<ForecastRecord> ListForecasts(StudioSession session, string piece, PageRequest page) =>
        session.Query<ForecastRecord>(
            $"SELECT {ColumnsButCourse} FROM forecasts WHERE piece = @piece AND revision > @after ORDER BY revision LIMIT @limit",
            new { piece, after = page.AfterNumber, limit = page.Limit });

    public static void Insert(StudioTransaction tx, ForecastRecord forecast) => tx.Execute(
        $"""
        INSERT INTO forecasts ({ColumnsButCourse}, course)
        VALUES (@Piece, @Revision, @ForecastMs, @Cause, @ModelRevision, @PourMs,
                @GelEarliestMs, @GelLikelyMs, @GelSafeMs, @DemoldEarliestMs, @DemoldLikelyMs, @DemoldSafeMs,
                @HandleEarliestMs, @HandleLikelyMs, @HandleSafeMs, @SandEarliestMs, @SandLikelyMs, @SandSafeMs,
                @PeakLowCelsius, @PeakLikelyCelsius, @PeakHighCelsius, @PeakLikelyOffsetMs, @RunawayMarginRatio,
                @LastReadingMs, @GapMs, @RoomAssumption, @Ladder, @Reason, @Statements, @Advice, @ObservationCount, @Cautions, @Course)
        """,
        forecast);
}
