using Pourwright.Studio.Refusals;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using PieceState = Pourwright.V1.Piece.Types.State;

namespace Pourwright.Studio.Pieces;

/// <summary>What holds for pours and steps alike.</summary>
internal static class PieceRefusals
{
    /// <exception cref="Refusal">PIECE_HANDED_OVER, PIECE_SCRAPPED.</exception>
    public static void RequireOpen(PieceRecord piece)
    {
        if (piece.State == PieceState.HandedOver)
            throw Refusal.Precondition(Reasons.PieceHandedOver,
                $"Piece '{piece.Name}' was given to its maker: nothing more is poured into it or done to it here. Checks and defects are still welcome.", ("piece", piece.Name));
        if (piece.State == PieceState.Scrapped)
            throw Refusal.Precondition(Reasons.PieceScrapped,
                $"Piece '{piece.Name}' was given up: nothing more is poured into it or done to it. Begin another piece.", ("piece", piece.Name));
    }

    /// <exception cref="Refusal">SITE_MISMATCH.</exception>
    public static void RequireSameSite(PieceRecord piece, BenchRecord bench)
    {
        if (piece.Site != bench.Site)
            throw Refusal.Precondition(Reasons.SiteMismatch,
                $"Piece '{piece.Name}' is made at '{piece.Site}', bench '{bench.Name}' is at '{bench.Site}'. Name a bench of the piece's site.",
                ("piece", piece.Name), ("piece_site", piece.Site), ("bench", bench.Name), ("bench_site", bench.Site));
    }

    /// <exception cref="Refusal">TIME_OUT_OF_ORDER.</exception>
    public static void RequireNotBefore(long eventMs, long earlierMs, string what, string earlier, string happened)
    {
        if (eventMs < earlierMs)
            throw Refusal.Precondition(Reasons.TimeOutOfOrder,
                $"The {what} is set to {Instants.Utc(eventMs)}, but '{earlier}' {happened} at {Instants.Utc(earlierMs)}. Correct the time.",
                ("earlier", earlier), ($"{what}_time", Instants.Utc(eventMs)), ("earlier_time", Instants.Utc(earlierMs)));
    }
}
