using Pourwright.Studio.Mixes;
using Pourwright.Studio.Names;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.Studio.Storage.Chain;
using PieceState = Pourwright.V1.Piece.Types.State;

namespace Pourwright.Studio.Pieces;

/// <summary>SQL of pieces, pours, checks and steps.</summary>
public static class PieceStore
{
    private const string PieceColumns =
        """
        SELECT name, studio, site, label, maker, casting_class,
               coalesce((SELECT display_name FROM classes WHERE classes.name = casting_class), '') AS casting_class_display_name,
               mould, wood_species, wood_moisture_percent, channel_width_mm, planned_session_ms, state, bench,
               (SELECT h.reason FROM piece_holds h
                 WHERE h.piece = pieces.name AND h.kind = 'held'
                   AND NOT EXISTS (SELECT 1 FROM piece_holds l WHERE l.piece = h.piece AND l.cause = h.cause AND l.sequence > h.sequence)
                 ORDER BY h.sequence LIMIT 1) AS hold_reason
          FROM pieces
        """;

    public static PieceRecord? FindPiece(StudioSession session, string name) =>
        session.Find<PieceRecord>($"{PieceColumns} WHERE name = @name", new { name });

    /// <exception cref="Refusals.Refusal">PIECE_NOT_FOUND.</exception>
    public static PieceRecord GetPiece(StudioSession session, string name) =>
        FindPiece(session, name) ?? throw ResourceKind.Piece.NotFound(name);

    /// <summary>Those of many names, by name.</summary>
    public static IReadOnlyList<PieceRecord> GetPieces(StudioSession session, IEnumerable<string> names) =>
        [.. names.Order(StringComparer.Ordinal).Chunk(NamesMax).SelectMany(some => session.Query<PieceRecord>(
            $"{PieceColumns} WHERE name IN @some ORDER BY name", new { some }))];

    /// <summary>Names a statement: far below the number of parameters that an engine takes.</summary>
    private const int NamesMax = 500;

    /// <summary>By id; only those of a site where one is given, only those in a state where one is said.</summary>
    public static IReadOnlyList<PieceRecord> ListPieces(StudioSession session, string studio, string site, PieceState state, PageRequest page) =>
        session.Query<PieceRecord>(
            $"""
            {PieceColumns}
             WHERE studio = @studio AND name > @after AND (@site = '' OR site = @site) AND (@state = 0 OR state = @state)
             ORDER BY name LIMIT @limit
            """,
            new { studio, site, state = (int)state, after = page.AfterText, limit = page.Limit });

    /// <summary>The poured pieces still in the house, of one site or of all: in their moulds, or out and going on to cure.</summary>
    public static IReadOnlyList<PieceRecord> GetCuringPieces(StudioSession session, string studio, string? site = null) =>
        session.Query<PieceRecord>(
            $"{PieceColumns} WHERE studio = @studio AND state IN (@curing, @demolded) AND (@site IS NULL OR site = @site) ORDER BY name",
            new { studio, site, curing = (int)PieceState.Curing, demolded = (int)PieceState.Demolded });

    /// <summary>What people call a class.</summary>
    /// <exception cref="Refusals.Refusal">CASTING_CLASS_NOT_FOUND.</exception>
    public static string GetClassDisplayName(StudioSession session, string castingClass) =>
        session.Find<string>("SELECT display_name FROM classes WHERE name = @castingClass", new { castingClass })
        ?? throw ResourceKind.CastingClass.NotFound(castingClass);

    /// <exception cref="Refusals.Refusal">PIECE_EXISTS.</exception>
    public static void InsertPiece(StudioTransaction tx, PieceRecord piece)
    {
        if (FindPiece(tx, piece.Name) is not null) throw ResourceKind.Piece.AlreadyExists(piece.Name);
        tx.Execute(
            """
            INSERT INTO pieces (name, studio, site, label, maker, casting_class, mould, wood_species, wood_moisture_percent,
                                channel_width_mm, planned_session_ms, state, bench, seal_salt, maker_seal)
            VALUES (@Name, @Studio, @Site, @Label, @Maker, @CastingClass, @Mould, @WoodSpecies, @WoodMoisturePercent,
                    @ChannelWidthMm, @PlannedSessionMs, @State, @Bench, @SealSalt, @MakerSeal)
            """,
            piece with { SealSalt = SealedText.NewSalt() });
    }

    /// <summary>Gives the pieces of a class that were planned for an instant another one; those that are planned for a time of their own keep it.</summary>
    /// <returns>Names of those that are still in the house.</returns>
    public static IReadOnlyList<string> MovePlannedSession(StudioTransaction tx, string castingClass, long fromMs, long toMs) => tx.Query<string>(
        """
        UPDATE pieces SET planned_session_ms = @toMs
         WHERE casting_class = @castingClass AND planned_session_ms = @fromMs AND state IN (@prepared, @curing, @demolded)
        RETURNING name
        """,
        new
        {
            castingClass, fromMs, toMs, prepared = (int)PieceState.Prepared, curing = (int)PieceState.Curing, demolded = (int)PieceState.Demolded,
        });

    /// <summary>State and bench are all else that ever changes of a piece.</summary>
    private static void UpdatePiece(StudioTransaction tx, PieceRecord piece) =>
        tx.Execute("UPDATE pieces SET state = @State, bench = @Bench WHERE name = @Name", piece);

    private const string PourColumns =
        """
        SELECT name, piece, mix, bench, mass_mg, depth_mm, pour_ms, resin_temperature_celsius, surface_temperature_celsius,
               pourer, deviation_reason, layer_count, cautions, record_ms
        """;

    /// <summary>As it stands among the layers of its piece; one that was corrected as it was recorded.</summary>
    /// <exception cref="Refusals.Refusal">POUR_NOT_FOUND.</exception>
    public static PourRecord GetPour(StudioSession session, string name) =>
        session.Find<PourRecord>($"{PourColumns} FROM current_pours WHERE name = @name", new { name })
        ?? FindPour(session, name) ?? throw ResourceKind.Pour.NotFound(name);

    /// <summary>With what was corrected of it.</summary>
    public static V1.Pour ToProto(StudioSession session, PourRecord pour) => pour.ToProto(CorrectionStore.OfPour(session, pour.Name));

    /// <summary>The pour that stands where this one was recorded, or the last that stood, and whether it does.</summary>
    /// <exception cref="Refusals.Refusal">POUR_NOT_FOUND.</exception>
    public static (PourRecord Pour, bool Stands) StandingPour(StudioSession session, string name)
    {
        var pour = GetPour(session, name);
        return CorrectionStore.Latest(session, name) switch
        {
            null => (pour, true),
            { RightPour: { } right } => StandingPour(session, right),
            _ => (pour, false),
        };
    }

    /// <summary>The pours that stand, first to last.</summary>
    public static IReadOnlyList<PourRecord> GetPours(StudioSession session, string piece) =>
        session.Query<PourRecord>($"{PourColumns} FROM current_pours WHERE piece = @piece ORDER BY layer_count", new { piece });

    /// <summary>Names of the pieces that were poured from a mix.</summary>
    public static IReadOnlyList<string> PiecesOf(StudioSession session, string mix) =>
        session.Query<string>("SELECT DISTINCT piece FROM current_pours WHERE mix = @mix ORDER BY piece", new { mix });

    public static IReadOnlyList<PourRecord> ListPours(StudioSession session, string piece, PageRequest page) =>
        session.Query<PourRecord>(
            $"{PourColumns} FROM current_pours WHERE piece = @piece AND layer_count > @after ORDER BY layer_count LIMIT @limit",
            new { piece, after = page.AfterNumber, limit = page.Limit });

    /// <summary>The resin systems that a piece holds, lowest layer first.</summary>
    public static IReadOnlyList<string> GetResinSystems(StudioSession session, string piece) =>
        session.Query<string>(
            """
            SELECT mixes.resin_system FROM current_pours pours JOIN mixes ON mixes.name = pours.mix
             WHERE pours.piece = @piece GROUP BY mixes.resin_system ORDER BY min(pours.layer_count)
            """,
            new { piece });

    /// <summary>Adds the pour and brings the piece to where it leaves it.</summary>
    /// <exception cref="Refusals.Refusal">POUR_EXISTS.</exception>
    public static void SavePour(StudioTransaction tx, PourDecision decision)
    {
        var (pour, piece) = decision;
        InsertPour(tx, pour);
        UpdatePiece(tx, piece);
        tx.Publish(new PourRecorded(piece.Name, pour.Name));
    }

    /// <summary>Adds the correction and the pour that stands instead, and brings the pieces to where they are.</summary>
    public static void SaveCorrection(StudioTransaction tx, PourCorrection decision)
    {
        if (decision.Right is { } right) InsertPour(tx, right);
        CorrectionStore.Insert(tx, decision.Correction);
        foreach (var piece in decision.Pieces)
        {
            UpdatePiece(tx, piece);
            tx.Publish(new PieceCorrected(piece.Name));
        }
    }

    /// <exception cref="Refusals.Refusal">POUR_EXISTS.</exception>
    private static void InsertPour(StudioTransaction tx, PourRecord pour)
    {
        if (FindPour(tx, pour.Name) is not null) throw ResourceKind.Pour.AlreadyExists(pour.Name);
        tx.Execute(
            """
            INSERT INTO pours (name, piece, mix, bench, mass_mg, depth_mm, pour_ms, resin_temperature_celsius,
                               surface_temperature_celsius, pourer, deviation_reason, layer_count, cautions, record_ms)
            VALUES (@Name, @Piece, @Mix, @Bench, @MassMg, @DepthMm, @PourMs, @ResinTemperatureCelsius,
                    @SurfaceTemperatureCelsius, @Pourer, @DeviationReason, @LayerCount, @Cautions, @RecordMs)
            """,
            pour);
    }

    private static PourRecord? FindPour(StudioSession session, string name) =>
        session.Find<PourRecord>($"{PourColumns} FROM pours WHERE name = @name", new { name });

    private const string CheckColumns =
        """
        SELECT name, piece, check_ms, checker, touch, shore_d, shore_d_below_scale, surface_temperature_celsius, thickness_mm,
               note, record_ms,
               CASE WHEN check_ms >= (SELECT max(pour_ms) FROM current_pours p WHERE p.piece = checks.piece)
                     AND record_ms >= (SELECT max(change_ms) FROM pour_changes p WHERE p.piece = checks.piece) THEN confirms ELSE 0 END AS confirms
          FROM checks
        """;

    /// <summary>First to last; of one instant, as they were written down.</summary>
    public static IReadOnlyList<CheckRecord> GetChecks(StudioSession session, string piece) =>
        session.Query<CheckRecord>($"{CheckColumns} WHERE piece = @piece ORDER BY check_ms, record_ms, name", new { piece });

    public static IReadOnlyList<CheckRecord> ListChecks(StudioSession session, string piece, PageRequest page)
    {
        var after = EventKey.After(page);
        return session.Query<CheckRecord>(
            $"""
            {CheckColumns}
             WHERE piece = @piece AND (check_ms, record_ms, name) > (@EventMs, @RecordMs, @Name)
             ORDER BY check_ms, record_ms, name LIMIT @limit
            """,
            new { piece, after.EventMs, after.RecordMs, after.Name, limit = page.Limit });
    }

    /// <exception cref="Refusals.Refusal">CHECK_EXISTS.</exception>
    public static void SaveCheck(StudioTransaction tx, CheckRecord check)
    {
        if (tx.Find<CheckRecord>($"{CheckColumns} WHERE name = @Name", check) is not null) throw ResourceKind.Check.AlreadyExists(check.Name);
        tx.Execute(
            """
            INSERT INTO checks (name, piece, check_ms, checker, touch, shore_d, shore_d_below_scale,
                                surface_temperature_celsius, thickness_mm, note, record_ms, confirms)
            VALUES (@Name, @Piece, @CheckMs, @Checker, @Touch, @ShoreD, @ShoreDBelowScale,
                    @SurfaceTemperatureCelsius, @ThicknessMm, @Note, @RecordMs, @Confirms)
            """,
            check);
        tx.Publish(new CheckRecorded(check.Piece, check.Name));
    }

    private const string StepColumns = "SELECT name, piece, kind, step_ms, worker, bench, note, cautions, record_ms FROM steps";

    /// <summary>First to last; of one instant, as they were written down.</summary>
    public static IReadOnlyList<StepRecord> GetSteps(StudioSession session, string piece) =>
        session.Query<StepRecord>($"{StepColumns} WHERE piece = @piece ORDER BY step_ms, record_ms, name", new { piece });

    public static IReadOnlyList<StepRecord> ListSteps(StudioSession session, string piece, PageRequest page)
    {
        var after = EventKey.After(page);
        return session.Query<StepRecord>(
            $"""
            {StepColumns}
             WHERE piece = @piece AND (step_ms, record_ms, name) > (@EventMs, @RecordMs, @Name)
             ORDER BY step_ms, record_ms, name LIMIT @limit
            """,
            new { piece, after.EventMs, after.RecordMs, after.Name, limit = page.Limit });
    }

    /// <summary>Adds the step and brings the piece to where it leaves it.</summary>
    /// <exception cref="Refusals.Refusal">STEP_EXISTS.</exception>
    public static void SaveStep(StudioTransaction tx, StepDecision decision)
    {
        var (step, piece) = decision;
        if (tx.Find<StepRecord>($"{StepColumns} WHERE name = @Name", step) is not null) throw ResourceKind.Step.AlreadyExists(step.Name);
        tx.Execute(
            """
            INSERT INTO steps (name, piece, kind, step_ms, worker, bench, note, cautions, record_ms)
            VALUES (@Name, @Piece, @Kind, @StepMs, @Worker, @Bench, @Note, @Cautions, @RecordMs)
            """,
            step);
        UpdatePiece(tx, piece);
        tx.Publish(new StepRecorded(piece.Name, step.Name));
        if (step.Kind == V1.Step.Types.Kind.Demold) tx.Publish(new PieceDemolded(piece.Name, step.Name));
        if (step.Bench is { } bench) tx.Publish(new PieceMoved(piece.Name, bench));
    }

    /// <summary>That a forecast knows every pour of its piece, and that there is one: what stands beside `forecast_ms` in a condition.</summary>
    public const string KnowsEveryPour =
        """
        forecast_ms >= (SELECT max(change_ms) FROM pour_changes WHERE piece = @piece)
           AND EXISTS (SELECT 1 FROM current_pours WHERE piece = @piece)
        """;

    /// <summary>When people last recorded or corrected a pour of a piece that has one, Unix ms.</summary>
    public static long PoursChangeMs(StudioSession session, string piece) =>
        session.Scalar<long>("SELECT max(change_ms) FROM pour_changes WHERE piece = @piece", new { piece });

    /// <summary>The gate times of the newest forecast; null while there is none, or none that knows the newest pour: fresh resin over a ready layer is not ready.</summary>
    public static PieceGates? FindGates(StudioSession session, string piece) => session.Find<PieceGates>(
        $"""
        SELECT gel_earliest_ms, gel_safe_ms, demold_earliest_ms, demold_safe_ms, handle_earliest_ms, handle_safe_ms,
               sand_earliest_ms, sand_safe_ms
          FROM forecasts
         WHERE piece = @piece AND revision = (SELECT max(revision) FROM forecasts WHERE piece = @piece)
           AND {KnowsEveryPour}
        """,
        new { piece });

    /// <summary>The newest reading with humidity at or before an instant, from the sensors that watch the bench; null where there is none or its sensor was silent by then.</summary>
    public static BenchAir? FindAir(StudioSession session, BenchRecord bench, long atMs) => SiteStore.GetSensorsAt(session, bench)
        .Select(sensor => session.Find<BenchAir>(
            """
            SELECT temperature_celsius, relative_humidity_percent, reading_ms
              FROM readings
             WHERE sensor = @Name AND reading_ms BETWEEN @atMs - 3 * @ReportIntervalMs AND @atMs
               AND relative_humidity_percent IS NOT NULL
             ORDER BY reading_ms DESC LIMIT 1
            """,
            new { sensor.Name, sensor.ReportIntervalMs, atMs }))
        .MaxBy(air => air?.ReadingMs);
}
