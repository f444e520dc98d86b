using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Mixes;

/// <summary>SQL of corrections.</summary>
public static class CorrectionStore
{
    private const string Columns =
        """
        SELECT c.sequence, c.site, c.subject, c.kind, c.person, c.reason, c.correct_ms, c.changes, c.right_pour,
               c.a_mass_mg, c.b_mass_mg, c.pigment_mass_mg, c.hardener_parts_per_100_resin, c.ratio_deviation_percent, c.cautions
          FROM corrections c
        """;

    /// <summary>The correction of a mix or a pour that stands; null where there is none.</summary>
    public static CorrectionRecord? Latest(StudioSession session, string subject) => session.Find<CorrectionRecord>(
        $"{Columns} WHERE c.subject = @subject ORDER BY c.sequence DESC LIMIT 1", new { subject });

    /// <summary>Of a mix, first to last.</summary>
    public static IReadOnlyList<Correction> OfMix(StudioSession session, string mix) => ToProto(session.Query<CorrectionRecord>(
        $"{Columns} WHERE c.subject = @mix ORDER BY c.sequence", new { mix }));

    /// <summary>Of a pour and of those that it stands for, first to last.</summary>
    public static IReadOnlyList<CorrectionRecord> OfPour(StudioSession session, string pour) => session.Query<CorrectionRecord>(
        $"""
        WITH RECURSIVE line (name) AS (
            SELECT @pour
             UNION
            SELECT c.subject FROM line l JOIN corrections c ON c.right_pour = l.name)
        {Columns} WHERE c.subject IN (SELECT name FROM line) ORDER BY c.sequence
        """, new { pour });

    /// <summary>Of the pours that a piece has or was recorded to have, and of the mixes of those that it has, first to last.</summary>
    public static IReadOnlyList<Correction> OfPiece(StudioSession session, string piece) => ToProto(session.Query<CorrectionRecord>(
        $"""
        {Columns}
         WHERE c.subject IN (SELECT name FROM pours WHERE piece = @piece)
            OR c.right_pour IN (SELECT name FROM pours WHERE piece = @piece)
            OR c.subject IN (SELECT mix FROM current_pours WHERE piece = @piece)
         ORDER BY c.sequence
        """, new { piece }));

    /// <summary>Adds one; returns its sequence.</summary>
    public static long Insert(StudioTransaction tx, CorrectionRecord correction) => tx.Scalar<long>(
        """
        INSERT INTO corrections (site, subject, kind, person, reason, correct_ms, changes, right_pour, a_mass_mg, b_mass_mg,
                                 pigment_mass_mg, hardener_parts_per_100_resin, ratio_deviation_percent, cautions)
        VALUES (@Site, @Subject, @Kind, @Person, @Reason, @CorrectMs, @Changes, @RightPour, @AMassMg, @BMassMg,
                @PigmentMassMg, @HardenerPartsPer100Resin, @RatioDeviationPercent, @Cautions)
        RETURNING sequence
        """,
        correction);

    private static IReadOnlyList<Correction> ToProto(IReadOnlyList<CorrectionRecord> corrections) =>
        [.. corrections.Select(correction => correction.ToProto())];
}
