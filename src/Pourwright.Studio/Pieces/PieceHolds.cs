using Pourwright.Studio.Refusals;
using Pourwright.V1;

namespace Pourwright.Studio.Pieces;

/// <summary>A row of `piece_holds`: inserted once, never changed.</summary>
/// <param name="Kind"><see cref="Held"/> or <see cref="Released"/>.</param>
/// <param name="Cause">The recall or the defect it is held for, by name; empty where a person held it without one.</param>
public sealed record PieceHoldRecord(string Piece, string Kind, string Cause, string Reason, string Person, long EventMs)
{
    public const string Held = "held", Released = "released";
}

/// <summary>Keeps a piece in the house and off the tools, and lets it go again.</summary>
/// <remarks>Each cause holds for itself: a piece is free when the last one has let go. Nothing is said twice, so that a repeat changes nothing.</remarks>
public static class PieceHolds
{
    /// <summary>The row to write; null where this cause holds it already.</summary>
    /// <param name="isHeldByCause">Whether the cause holds it now.</param>
    /// <exception cref="Refusal">PIECE_HANDED_OVER, PIECE_SCRAPPED: there is nothing left in the house to hold.</exception>
    public static PieceHoldRecord? Hold(PieceRecord piece, bool isHeldByCause, string cause, string reason, string person, long nowMs)
    {
        PieceRefusals.RequireOpen(piece);
        return isHeldByCause ? null : new(piece.Name, PieceHoldRecord.Held, cause, reason, person, nowMs);
    }

    /// <summary>The row to write; null where this cause does not hold it.</summary>
    public static PieceHoldRecord? Release(PieceRecord piece, bool isHeldByCause, string cause, string reason, string person, long nowMs) =>
        isHeldByCause ? new(piece.Name, PieceHoldRecord.Released, cause, reason, person, nowMs) : null;

    /// <summary>In the house: it can be held.</summary>
    public static bool IsInHouse(Piece.Types.State state) => state is Piece.Types.State.Prepared or Piece.Types.State.Curing or Piece.Types.State.Demolded;
}
