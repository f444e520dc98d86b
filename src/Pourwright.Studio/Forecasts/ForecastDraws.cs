using Pourwright.Cure.Readiness;

namespace Pourwright.Studio.Forecasts;

/// <summary>The draws that stand for all that a piece may be.</summary>
public static class ForecastDraws
{
    /// <summary>By what data sheets leave open of the rate, and lot, site and pour; of several resins that of the one known least.</summary>
    public static PieceDraws Of(ForecastFacts facts) => PieceDraws.Of(CureTerms.Spread(facts.Pours.Max(pour => pour.RateLnSd)));
}
