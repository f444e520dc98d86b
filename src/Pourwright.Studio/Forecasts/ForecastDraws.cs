using Pourwright.Cure.Readiness;

namespace Pourwright.Studio.Forecasts;

/// <summary>The draws that stand for all that a piece may be.</summary>
public static class ForecastDraws
{
    public static PieceDraws Of(ForecastFacts facts) => PieceDraws.Of(CureSpread.Default);
}
