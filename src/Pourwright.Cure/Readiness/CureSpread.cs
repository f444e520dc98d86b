namespace Pourwright.Cure.Readiness;

/// <summary>How far one piece may depart from the likely run: independent normal spreads, and how many draws stand for them.</summary>
/// <remarks>"Ln" spreads are standard deviations of a logarithm: 0.1 is about 10 %.</remarks>
public sealed record CureSpread
{
    /// <summary>The spread of a resin that is known from its data sheet and has not been checked at this site.</summary>
    public static CureSpread Default { get; } = new();

    /// <summary>Of the reaction rate: √(0.10² + 0.10² + 0.10²) for lot, site and pour.</summary>
    /// <remarks>The three parts are our guess, to be learned from checks; amine that took up water cures faster [MoistureCure2023].</remarks>
    public double RateLnSd { get; init; } = 0.17;

    /// <summary>Of the heat of reaction.</summary>
    public double HeatLnSd { get; init; } = 0.05;

    /// <summary>Of the heat lost through both faces and the sides.</summary>
    public double HeatLossLnSd { get; init; } = 0.15;

    /// <summary>Of the air, one offset for the whole course, in K.</summary>
    /// <remarks>1 K suits a logged or heated room; a forecast two days ahead is nearer 2.5 K (common practice, no source).</remarks>
    public double AmbientOffsetSdKelvin { get; init; } = 1;

    /// <summary>Of the glass transition at every conversion, in K.</summary>
    public double TgOffsetSdKelvin { get; init; } = 2;

    /// <summary>Which set of draws: the same seed gives the same forecast.</summary>
    public int Seed { get; init; } = 1;

    /// <summary>Number of draws.</summary>
    public int Draws { get; init; } = 32;
}
