using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Pieces;

/// <summary>SQL of the holds of pieces.</summary>
public static class PieceHoldStore
{
    /// <summary>Does this cause hold the piece now? An empty cause is a person's own hold.</summary>
    public static bool IsHeldBy(StudioSession session, string piece, string cause) => session.Scalar<string?>(
        "SELECT kind FROM piece_holds WHERE piece = @piece AND cause = @cause ORDER BY sequence DESC LIMIT 1",
        new { piece, cause }) == PieceHoldRecord.Held;

    /// <summary>The pieces that a recall or a defect holds now, by name.</summary>
    public static IReadOnlyList<string> HeldBy(StudioSession session, string cause) => session.Query<string>(
        """
        SELECT h.piece FROM piece_holds h
         WHERE h.cause = @cause AND h.cause <> '' AND h.kind = 'held'
           AND NOT EXISTS (SELECT 1 FROM piece_holds l WHERE l.piece = h.piece AND l.cause = h.cause AND l.sequence > h.sequence)
         ORDER BY h.piece
        """,
        new { cause });

    public static void Insert(StudioTransaction tx, IEnumerable<PieceHoldRecord> holds) => tx.Execute(
        """
        INSERT INTO piece_holds (piece, kind, cause, reason, person, event_ms)
        VALUES (@Piece, @Kind, @Cause, @Reason, @Person, @EventMs)
        """,
        holds.ToList());
}
