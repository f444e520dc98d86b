using Pourwright.Cure.Learning;
using Pourwright.Cure.Readiness;

namespace Pourwright.Studio.Forecasts;

/// <summary>The draws that stand for all that a piece may be.</summary>
public static class ForecastDraws
{
    /// <summary>By what is known of its resin; of several resins by what their data sheets leave open, that of the one known least.</summary>
    public static PieceDraws Of(ForecastFacts facts, PieceCase piece) => facts.Resin is { } resin
        ? resin.Draws(Observed(facts, piece))
        : PieceDraws.Of(CureTerms.Spread(facts.Pours.Max(pour => pour.RateLnSd)));

    /// <summary>The piece as what learns sees it: its newest pour decides its gates.</summary>
    public static ObservedPiece Observed(ForecastFacts facts, PieceCase piece) => new()
    {
        Pour = facts.Piece.Name,
        Lot = facts.Lots,
        Site = facts.Piece.Site,
        Piece = piece,
    };
}
