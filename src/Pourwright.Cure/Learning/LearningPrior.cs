namespace Pourwright.Cure.Learning;

/// <summary>What is believed of a resin system before any check: ln c_pour = ln c_resin + u_lot + v_site + e, and the rest.</summary>
/// <remarks>
/// "Ln" spreads are standard deviations of a logarithm. Rate, heat of reaction and glass transition belong to the resin, a part
/// of the rate to each lot, a part of it and the heat loss to each site, a part of it and the air to each pour.
/// </remarks>
public sealed record LearningPrior
{
    /// <summary>Of the rate of a resin about that of its model.</summary>
    /// <remarks>Our guess: what is left after times of a data sheet are met to 20–25 %.</remarks>
    public double ResinRateLnSd { get; init; } = 0.20;

    /// <summary>Of the rate from lot to lot (our guess, no source).</summary>
    public double LotRateLnSd { get; init; } = 0.10;

    /// <summary>Of the rate from site to site (our guess, no source).</summary>
    public double SiteRateLnSd { get; init; } = 0.10;

    /// <summary>Of the rate from pour to pour: weighing, stirring (our guess, no source).</summary>
    public double PourRateLnSd { get; init; } = 0.10;

    /// <summary>The other spreads, as for a forecast that learns nothing; its rate and its number of draws are not used.</summary>
    public Readiness.CureSpread Others { get; init; } = Readiness.CureSpread.Default;

    /// <summary>Number of draws.</summary>
    /// <remarks>
    /// Measured on invented studios: for gates 500 are enough and 300 are not; lots want more, since each of many observations
    /// that resamples them costs a little of what older lots taught.
    /// </remarks>
    public int Draws { get; init; } = 1000;

    /// <summary>Which draws; the same seed and the same observations give the same answer.</summary>
    public int Seed { get; init; } = 1;

    internal void Check()
    {
        CureRangeException.Check("Spread of the rate of a resin", ResinRateLnSd, 0, 1, "");
        CureRangeException.Check("Spread of the rate of a lot", LotRateLnSd, 0, 0.5, "");
        CureRangeException.Check("Spread of the rate of a site", SiteRateLnSd, 0, 0.5, "");
        CureRangeException.Check("Spread of the rate of a pour", PourRateLnSd, 0, 0.5, "");
        CureRangeException.Check("Number of draws", Draws, 200, 10_000, "");
        Readiness.PieceRange.Check(Others);
    }
}
